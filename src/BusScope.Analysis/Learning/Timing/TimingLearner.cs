using BusScope.Frames;

namespace BusScope.Analysis.Learning.Timing;

/// <summary>From the gaps of an identifier to the way in which it is sent.</summary>
internal static class TimingLearner
{
    /// <summary>Learns it.</summary>
    public static LearnedTiming Learn(IdentifierStudy study)
    {
        var single = study.Gaps.Of(1);
        if (single.Count == 0)
        {
            return new LearnedTiming(SendingKind.Event);
        }

        var longest = study.Presences.Max(presence => presence.LongestGap);
        var measured = new MeasuredGaps(
            new FrameSpan(single.Median()),
            new FrameSpan(single.Quantile(0.05)),
            new FrameSpan(single.Quantile(0.95)),
            new FrameSpan(single.Quantile(0.99)),
            longest,
            single.Count);
        var pattern = new GapPattern(single);
        var ofTwo = new GapPattern(study.Gaps.Of(2)).Narrow();
        var alternates = ofTwo is { } both && pattern.Shuns(both / 2);
        if (!alternates && pattern.Steady() is { } steady)
        {
            // Two senders nearly half a period apart, and a schedule with a long and a short step: either gap alone is wrong, half of both is right.
            return pattern.HasExtras(steady) ? Timed(SendingKind.Mixed, steady, 1, measured)
                : Timed(SendingKind.Periodic, ofTwo / 2 ?? steady, 1, measured);
        }

        for (var group = 2; group <= GapStudy.LargestGroup; group++)
        {
            if (new GapPattern(study.Gaps.Of(group)).Narrow() is { } period)
            {
                return Timed(SendingKind.Periodic, period, group, measured);
            }
        }

        return pattern.Longest() is { } usual
            ? Timed(SendingKind.Mixed, usual, 1, measured)
            : new LearnedTiming(SendingKind.Event) { Measured = measured };
    }

    private static LearnedTiming Timed(SendingKind kind, double nanoseconds, int group, MeasuredGaps measured)
    {
        var period = DesignPeriod.Round(new FrameSpan((long)nanoseconds));
        var (late, stale, isLateWidened, isStaleWidened) = ExpectedTiming.Of(period, measured);
        return new LearnedTiming(kind)
        {
            Period = period,
            Group = group,
            Measured = measured,
            LateAfter = late,
            StaleAfter = stale,
            IsLateWidened = isLateWidened,
            IsStaleWidened = isStaleWidened,
        };
    }
}
