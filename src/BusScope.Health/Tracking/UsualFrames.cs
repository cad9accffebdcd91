using System.Runtime.CompilerServices;
using BusScope.Frames;

namespace BusScope.Health.Tracking;

/// <summary>
/// The way of nearly every frame: data of an identifier that was met before, as long as its track gathers, a little later than the latest
/// of its bus. It is made of two short loops that call nothing: what each needs stays in registers, and a processor that waits for one
/// frame's place in memory has several of the next ones under way. Whatever is otherwise with a frame, it is left to
/// <see cref="HealthMonitor"/>.
/// </summary>
internal static class UsualFrames
{
    // How many frames go through both loops together: they stay in the first-level cache.
    private const int Together = 64;

    /// <summary>Takes in the usual frames at the beginning.</summary>
    /// <param name="frames">The frames.</param>
    /// <param name="buses">All buses of the frames.</param>
    /// <param name="table">Which identifier is which track.</param>
    /// <param name="gathering">Where the frames are gathered.</param>
    /// <param name="tracks">All tracks; those whose rows are full work through them.</param>
    /// <returns>How many were taken in; the next one, if there is one, is not usual.</returns>
    public static int Accept(ReadOnlySpan<Frame> frames, ReadOnlySpan<BusTrack> buses, IdentifierTable table, Gathering gathering, List<MessageTrack> tracks)
    {
        var identifiers = table.Now;
        var rows = gathering.Now;
        Span<int> numbers = stackalloc int[Together];
        var taken = 0;
        int found, gathered;
        do
        {
            var next = frames.Slice(taken, Math.Min(Together, frames.Length - taken));
            (found, gathered) = (Find(next, in identifiers, numbers), 0);
            bool isFinished;
            do
            {
                gathered += Gather(next[gathered..found], numbers[gathered..found], buses, in rows, out isFinished);
                if (!isFinished && gathering.Finish(numbers[gathered - 1], next[gathered - 1]))
                {
                    tracks[numbers[gathered - 1]].Flush();
                }
            }
            while (!isFinished);
            taken += gathered;
        }
        while (gathered == Together);
        return taken;
    }

    // The tracks of frames up to one that is no data of an identifier met before.
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private static int Find(ReadOnlySpan<Frame> frames, in IdentifierTable.View table, Span<int> numbers)
    {
        var here = table;
        for (var i = 0; i < frames.Length && i < numbers.Length; i++)
        {
            var number = here.Find(frames[i].Origin);
            if (number < 0)
            {
                return i;
            }

            numbers[i] = number;
        }

        return frames.Length;
    }

    // Frames up to one that is not usual, up to one that makes the rows of its track full, or up to a long one: the last two are yet to be
    // finished, because a payload of 64 bytes would push everything else out of the registers.
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private static int Gather(ReadOnlySpan<Frame> frames, ReadOnlySpan<int> numbers, ReadOnlySpan<BusTrack> buses, in Gathering.View rows, out bool isFinished)
    {
        var here = rows;
        isFinished = true;
        for (var i = 0; i < frames.Length && i < numbers.Length; i++)
        {
            ref readonly var frame = ref frames[i];
            var bus = buses[frame.Bus];
            var time = frame.Time;
            ref var slot = ref here.Slots[numbers[i]];
            if (!bus.GoesOn(time) || slot.UsualLength != frame.Length)
            {
                return i;
            }

            bus.Frames++;
            bus.Latest = time;
            if (slot.IsLong || slot.Add(here.ShortRows, frame))
            {
                isFinished = false;
                return i + 1;
            }
        }

        return frames.Length;
    }
}
