using BusScope.Frames;

namespace BusScope.Session;

/// <summary>
/// Where a run of limited length ends: so long after its first moment. In a recording and in a stream that is time on the bus; on an
/// adapter that our own clock stamps it is what has really passed, for that clock may be set; and a stream that brings nothing at all
/// is waited for no longer than the run was to take.
/// </summary>
internal sealed class RunLimit(FrameSpan? length, SourceClock clock, TimeProvider time)
{
    private readonly long start = time.GetTimestamp();
    private FrameTime first = FrameTime.Never;

    /// <summary>How long it has been, by our own clock.</summary>
    public FrameSpan Passed => new(time.GetElapsedTime(start).Ticks * 100);

    /// <summary>Whether the run is over at this moment.</summary>
    /// <param name="now">The time on the bus, where a live source tells it.</param>
    public bool IsOver(FrameTime? now)
    {
        if (length is not { } span || clock == SourceClock.Recorded)
        {
            return false;
        }

        return clock == SourceClock.Ours || !first.IsKnown ? Passed > span : now - first > span;
    }

    /// <summary>Takes the frames past the end off the end of the batch, and says whether there were any.</summary>
    public bool Cut(FrameBatch batch)
    {
        if (batch.Count == 0)
        {
            return false;
        }

        first = first.IsKnown ? first : batch.Frames[0].Time;
        var before = batch.Count;
        while (length is { } span && clock != SourceClock.Ours && batch.Count > 0 && batch.Frames[^1].Time - first > span)
        {
            batch.TakeBack();
        }

        return batch.Count < before;
    }
}
