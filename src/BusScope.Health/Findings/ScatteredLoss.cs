using BusScope.Frames;
using BusScope.Health.Tracking;
using BusScope.Signals.Definitions;
using BusScope.Signals.Plans;

namespace BusScope.Health.Findings;

/// <summary>
/// Frames that are missing here and there in the recording of a bus. The alive counters tell them from what a sender left out: nothing came for
/// some periods and the counter went on by just as many, and so did those of nearly all other messages of the bus, whoever sends them.
/// </summary>
/// <param name="Counters">How many counters say so.</param>
/// <param name="Share">The share of their frames that is missing, 0 to 1.</param>
/// <param name="Jumps">How often frames were missing, over all counters.</param>
/// <param name="Times">How often they were by the counter that lost most.</param>
/// <param name="First">When first, at one of them.</param>
/// <param name="Last">When last.</param>
internal sealed record ScatteredLoss(int Counters, double Share, long Jumps, long Times, FrameTime First, FrameTime Last)
{
    // This program's choice. A counter of 16 values fits a gap by chance in one of 16 cases, but every jump of it has to.
    private const int FewestCounters = 3;
    private const double ShareOfJumps = 0.8;
    private const double ShareOfCounters = 0.8;

    // One counter may be at fault by itself.
    private const int MostAgainst = 1;

    // Without a period there is no gap to fit: then jumps may be twice as frequent as losses.
    private const double LargestExcess = 2;

    // What is rarer than this is no chance.
    private const double SmallestChance = 0.001;

    // So many missing frames are expected of a message before it says anything that none is.
    private const double FewestMissed = 5;

    /// <summary>Whether the loss explains the jumps of a counter on that bus for which no gap of its message accounts.</summary>
    public bool Explains(MessageTiming timing, MessageTally tally) =>
        timing is not { Every: not null, OnChange: false } && tally.CounterSkipped.Count <= LargestExcess * Share * tally.Rows;

    /// <summary>
    /// Whether so long a gap of a message may be made of frames that are missing: of some one after the other, as often as single ones are; of a hole in the recording
    /// that is shorter than a pause of the bus; or because it should have come no more often than frames were lost. A recorder that loses some at every full second
    /// loses what is sent then each time.
    /// </summary>
    /// <param name="timing">When the message should come.</param>
    /// <param name="pause">The shortest time that is one of the bus, and told as that.</param>
    /// <param name="gap">The gap, or for how long the first frame was awaited.</param>
    /// <param name="gaps">Among how many of the message it is the longest.</param>
    public bool ExplainsGap(MessageTiming timing, FrameSpan pause, FrameSpan gap, long gaps)
    {
        if (timing.Every is not { } every)
        {
            return false;
        }

        var missed = Math.Round(gap.Nanoseconds / (double)every.Nanoseconds) - 1;
        return gap - every - every <= pause
            || missed * (Last - First).Nanoseconds <= Times * (double)gap.Nanoseconds
            || (gaps + 1) * Math.Pow(Share, missed) >= SmallestChance;
    }

    /// <summary>What is missing in the recording of a bus, or null where that cannot be said.</summary>
    public static ScatteredLoss? On(BusTrack bus)
    {
        // Asked with every picture of a live bus, of which nearly none has lost a frame.
        if (!bus.Tracks.Exists(track => track.Tally is { CounterMissed.Count: > 0 }))
        {
            return null;
        }

        var counted = bus.Tracks.Where(track => track is { Tally: not null, Defined.Definition: { Counter: not null, Timing: { Every: not null, OnChange: false } } }).ToList();
        var telling = counted.Where(track => track.Tally!.CounterMissed.Count > 0 && track.Tally.CounterMissed.Count >= ShareOfJumps * track.Tally.CounterBreaks).ToList();
        if (telling.Count < FewestCounters || telling.All(track => track.Defined!.Definition.From is { } from && from == telling[0].Defined!.Definition.From))
        {
            return null;
        }

        var (missed, seen) = (telling.Sum(track => track.Tally!.SentInGaps), telling.Sum(track => track.Tally!.Rows));
        var share = missed / (double)(missed + seen);
        var others = counted.Except(telling).Count(track => track.Tally!.CounterBreaks > 0 || track.Tally.Rows * share >= FewestMissed);
        return others > MostAgainst && telling.Count < ShareOfCounters * (telling.Count + others)
            ? null
            : new ScatteredLoss(
                telling.Count,
                share,
                telling.Sum(track => track.Tally!.CounterMissed.Count),
                telling.Max(track => track.Tally!.CounterMissed.Count),
                telling.Min(track => track.Tally!.CounterMissed.First),
                telling.Max(track => track.Tally!.CounterMissed.Last));
    }
}
