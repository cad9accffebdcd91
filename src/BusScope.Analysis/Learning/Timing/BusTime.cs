using BusScope.Frames;

namespace BusScope.Analysis.Learning.Timing;

/// <summary>The time of one capture in which frames of a bus could be seen, and the pauses in it that say nothing of its messages.</summary>
/// <param name="Seen">From the beginning of the capture to its end.</param>
/// <param name="Pauses">Silences of the recording.</param>
public sealed record BusTime(Stretch Seen, IReadOnlyList<Silence> Pauses)
{
    // docs/health.md: a bus that is silent for longer is reported as such. A shorter silence is a hiccup of its adapter.
    private static readonly FrameSpan longestHiccup = FrameSpan.FromSeconds(1);

    // A bus that is awake has a frame at least so often, so that it begins and ends with the others.
    private static readonly FrameSpan longestWait = FrameSpan.FromMilliseconds(500);

    /// <summary>The time of a bus.</summary>
    /// <param name="bus">When the bus spoke.</param>
    /// <param name="capture">When any bus of the capture spoke.</param>
    public static BusTime Of(Presence bus, Presence capture)
    {
        // A bus that begins late or falls silent early while others speak was asleep: its messages were not there.
        var from = bus.First - capture.First > longestWait ? capture.First : bus.First;
        var until = capture.Last - bus.Last > longestWait ? capture.Last : bus.Last;
        return new BusTime(
            new Stretch(bus.Capture, from, until),
            [.. capture.Silences, .. bus.Silences.Where(silence => silence.Length <= longestHiccup)]);
    }
}
