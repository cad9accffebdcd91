using BusScope.Frames;
using BusScope.Health;

namespace BusScope.Terminal.Screens;

/// <summary>One reading of a bus.</summary>
/// <param name="At">When.</param>
/// <param name="Load">The load of the whole second before it in per cent, or null where the bit rate is unknown.</param>
/// <param name="Frames">Frames a second since the reading before.</param>
/// <param name="Errors">Error reports a second since the reading before.</param>
internal readonly record struct BusReading(FrameTime At, double? Load, double Frames, double Errors);

/// <summary>
/// The latest readings of one bus, one a second of bus time, or one a picture where a recording runs faster than that. In bounded
/// memory; used by the screen's thread alone.
/// </summary>
internal sealed class BusTrace
{
    /// <summary>The most readings kept: more than the widest screen shows.</summary>
    public const int Capacity = 300;

    private static readonly FrameSpan Second = FrameSpan.FromSeconds(1);

    private readonly BusReading[] readings = new BusReading[Capacity];
    private long taken;
    private FrameTime from = FrameTime.Never;
    private (long Frames, long Errors) before;

    /// <summary>How many readings there are.</summary>
    public int Count => (int)Math.Min(taken, Capacity);

    /// <summary>A reading, counted back from the latest, which is 0.</summary>
    public BusReading Back(int index) => readings[(taken - 1 - index) % Capacity];

    /// <summary>Takes a bus as it stands in a report; a clock that was set back begins anew.</summary>
    public void Take(BusHealth bus, FrameTime now)
    {
        if (!from.IsKnown || now < from || bus.Frames < before.Frames)
        {
            taken = now < from || bus.Frames < before.Frames ? 0 : taken;
            (from, before) = (now, (bus.Frames, bus.ErrorFrames));
            return;
        }

        if (now - from < Second)
        {
            return;
        }

        var seconds = (now - from).Seconds;
        readings[taken % Capacity] = new BusReading(now, bus.IsSilent ? 0 : bus.LoadNow, (bus.Frames - before.Frames) / seconds, (bus.ErrorFrames - before.Errors) / seconds);
        taken++;
        (from, before) = (now, (bus.Frames, bus.ErrorFrames));
    }
}
