using BusScope.Frames;
using BusScope.Health.Tracking;

namespace BusScope.Analysis.Learning.Timing;

/// <summary>
/// The gaps of one identifier from each frame to the next, and to the second, third and fourth after it. Where frames come in groups,
/// or two senders send the same message, single gaps alternate, but that to the frame which begins the next group stays the same.
/// </summary>
public sealed class GapStudy
{
    /// <summary>The largest group of frames that is told from single ones.</summary>
    public const int LargestGroup = 4;

    private const int Waiting = 32;

    private readonly PeriodStatistics[] statistics = [new(), new(), new(), new()];
    private readonly long[] gaps = new long[LargestGroup * Waiting];
    private readonly long[] before = new long[LargestGroup];
    private int known;
    private int waiting;

    /// <summary>The gaps from each frame to the one so many frames later.</summary>
    /// <param name="group">1 to <see cref="LargestGroup"/>.</param>
    public PeriodStatistics Of(int group)
    {
        Flush();
        return statistics[group - 1];
    }

    /// <summary>What came before has nothing to do with what follows.</summary>
    internal void Break() => known = 0;

    /// <summary>A frame arrived.</summary>
    internal void Note(FrameTime time)
    {
        var now = time.Nanoseconds;
        if (known > 0 && now < before[0])
        {
            known = 0;
        }

        // A gap that is not known is negative, which the statistics leave out.
        for (var group = 0; group < LargestGroup; group++)
        {
            gaps[(group * Waiting) + waiting] = group < known ? now - before[group] : -1;
        }

        if (++waiting == Waiting)
        {
            Flush();
        }

        for (var i = LargestGroup - 1; i > 0; i--)
        {
            before[i] = before[i - 1];
        }

        before[0] = now;
        known = Math.Min(known + 1, LargestGroup);
    }

    private void Flush()
    {
        for (var group = 0; waiting > 0 && group < LargestGroup; group++)
        {
            var together = gaps.AsSpan(group * Waiting, waiting);
            statistics[group].Add(together, GapRange.Of(together));
        }

        waiting = 0;
    }
}
