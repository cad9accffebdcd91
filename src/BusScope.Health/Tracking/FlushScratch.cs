using BusScope.Signals.Plans;

namespace BusScope.Health.Tracking;

/// <summary>Room that a flush works in, shared by all tracks of a monitor: its thread flushes one at a time.</summary>
/// <param name="marksChanges">Whether to note when each payload byte changed last.</param>
internal sealed class FlushScratch(bool marksChanges)
{
    private readonly long[] gaps = new long[MessageBlock.Capacity];

    /// <summary>Whether to note when each payload byte changed last.</summary>
    public bool MarksChanges => marksChanges;

    /// <summary>The gaps between the frames of a block.</summary>
    public Span<long> Gaps => gaps;
}
