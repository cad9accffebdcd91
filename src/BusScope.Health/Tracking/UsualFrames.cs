using System.Runtime.CompilerServices;
using BusScope.Frames;

namespace BusScope.Health.Tracking;

/// <summary>
/// The way of nearly every frame: data of an identifier that was met before, as long as its track gathers, a little later than the latest
/// of its bus. It calls nothing and changes nothing but those rows and that time, so that all it needs can stay in registers; whatever is
/// otherwise with a frame, it is left to <see cref="HealthMonitor"/>.
/// </summary>
internal static class UsualFrames
{
    /// <summary>Gathers frames up to one that is not usual, or until the rows of a track are full.</summary>
    /// <param name="frames">The frames.</param>
    /// <param name="buses">All buses of the frames.</param>
    /// <param name="table">Which identifier is which track.</param>
    /// <param name="rows">Where they are gathered.</param>
    /// <param name="full">The track whose rows are full and must be taken, or -1.</param>
    /// <returns>How many frames were gathered.</returns>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public static int Gather(ReadOnlySpan<Frame> frames, ReadOnlySpan<BusTrack> buses, IdentifierTable.View table, Gathering.View rows, out int full)
    {
        full = -1;
        for (var i = 0; i < frames.Length; i++)
        {
            ref readonly var frame = ref frames[i];
            var bus = buses[frame.Bus];
            var time = frame.Time;
            if (!frame.CarriesData || !bus.GoesOn(time) || table.Find(frame.Bus, frame.Id) is not (>= 0 and var number) || !rows.TryAdd(number, frame, out var isFull))
            {
                return i;
            }

            bus.Frames++;
            bus.Latest = time;
            if (isFull)
            {
                full = number;
                return i + 1;
            }
        }

        return frames.Length;
    }
}
