using BusScope.Frames;

namespace BusScope.Health.Tracking;

/// <summary>What the error reports of a bus say that came after its latest frame: what there was instead of frames.</summary>
internal sealed class BusErrors
{
    // The latest frame when the first of the reports came that are counted.
    private FrameTime after = FrameTime.Never;
    private long count;
    private FrameTime off = FrameTime.Never;

    /// <summary>Takes in a report.</summary>
    /// <param name="report">A frame of which <see cref="Frame.IsErrorReport"/> holds.</param>
    /// <param name="latest">When the latest frame of the bus came, or <see cref="FrameTime.Never"/>.</param>
    public void Note(in Frame report, FrameTime latest)
    {
        if (latest != after)
        {
            (after, count, off) = (latest, 0, FrameTime.Never);
        }

        count++;
        if (ErrorReport.Read(report).State is { } state)
        {
            off = state != ControllerState.BusOff ? FrameTime.Never : off.IsKnown ? off : report.Time;
        }
    }

    /// <summary>How many came since the latest frame.</summary>
    public long Since(FrameTime latest) => latest == after ? count : 0;

    /// <summary>When the controller that reports withdrew from the bus, so that nothing could come since; null where it did not, or came back.</summary>
    public FrameTime? OffSince(FrameTime latest) => latest == after && off.IsKnown ? off : null;

    /// <summary>The same reports, to which others are added by themselves.</summary>
    public BusErrors Copy() => (BusErrors)MemberwiseClone();
}
