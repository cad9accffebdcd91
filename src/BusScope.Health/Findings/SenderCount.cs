using BusScope.Health.Tracking;

namespace BusScope.Health.Findings;

/// <summary>
/// How many modules seem to send one message. After a swap the old controller's stand-in and a forgotten module may both
/// send it; the receiver then sees two counters in turn, or twice as many frames as it should.
/// </summary>
internal static class SenderCount
{
    // Two interleaved counters: nearly every frame breaks the count of the one before and follows the one before that.
    private const long FewestInTurn = 8;
    private const double ShareInTurn = 0.05;
    private const double ShareOfJumps = 0.5;

    // A frame in between breaks the count twice: with itself, and for the frame behind it.
    private const double LargestBreaks = 2.2;

    // Twice the rate: gaps that come in pairs, a short and a long one that make up the period.
    private const long FewestGaps = 20;
    private const double LargestMean = 0.6;
    private const double SmallestMean = 0.4;
    private const double SmallestSpread = 0.25;
    private const double LargestPairError = 0.15;

    // Where the two clocks drift, every gap is that to the other sender or the rest of the period: the quantiles mirror one another.
    private static readonly double[] mirrored = [0.05, 0.25, 0.45];

    /// <summary>0, 1 or 2.</summary>
    public static int Of(MessageTrack track) =>
        track.Frames == 0 ? 0
        : CountersInTurn(track) || GapsInPairs(track) || track.Pace is { Paired.Gaps: > 0 } || ExtrasBreakCounter(track) ? 2
        : 1;

    /// <summary>Whether the counters of two senders alternate.</summary>
    public static bool CountersInTurn(MessageTrack track) =>
        track.Tally is { } tally
        && tally.CounterFollowsSecondLast >= FewestInTurn
        && tally.CounterFollowsSecondLast > ShareInTurn * tally.Rows
        && tally.CounterFollowsSecondLast > ShareOfJumps * tally.CounterBreaks;

    /// <summary>Whether frames come in between those that keep the period.</summary>
    public static bool HasExtras(MessageTrack track) => track.Pace is { Extra.Odd: var extra } && Threshold.Extra.IsExceeded(extra, track.Periods.Count);

    /// <summary>
    /// Whether those that come in between count by themselves: each breaks the count of the others, which goes on behind it. One sender would count all that it sends,
    /// and a counter that is broken more often than that is broken by itself.
    /// </summary>
    public static bool ExtrasBreakCounter(MessageTrack track) =>
        HasExtras(track)
        && track is { Tally: { } tally, Pace.Extra.Odd: var extra }
        && tally.CounterSkipped.Count > ShareOfJumps * extra
        && tally.CounterBreaks <= LargestBreaks * extra;

    /// <summary>
    /// Whether frames come twice as often as defined, each gap and the next making up the period. A message that is also sent when something
    /// changes, which the file does not know, has short gaps as well, but nothing that makes up for them.
    /// </summary>
    public static bool GapsInPairs(MessageTrack track)
    {
        if (track.Defined?.Definition.Timing is not { Every: { } every, OnChange: false } || track.Pace is not { } pace || track.Periods.Count < FewestGaps)
        {
            return false;
        }

        double period = every.Nanoseconds;
        if (pace.Mean / period is not (> SmallestMean and < LargestMean))
        {
            return false;
        }

        return (track.Periods.Figures.P95!.Value - track.Periods.Figures.P05!.Value).Nanoseconds / period > SmallestSpread
            && Array.TrueForAll(mirrored, share => Math.Abs(((track.Periods.Quantile(share) + track.Periods.Quantile(1 - share)) / period) - 1) < LargestPairError);
    }
}
