using BusScope.Frames;
using BusScope.Health.Tracking;
using BusScope.Signals.Plans;

namespace BusScope.Health.Findings;

/// <summary>
/// A recording of a bus that holds every frame twice: two recorders under one name, or an adapter that gives back what another one hears. Two senders of one message
/// each have a moment of their own; here the second frame follows the first at one distance, whoever sends it.
/// </summary>
/// <param name="Messages">Of how many messages that is seen.</param>
/// <param name="Apart">The usual distance.</param>
internal sealed record DoubledFrames(int Messages, FrameSpan Apart)
{
    // This program's choice.
    private const int FewestMessages = 8;
    private const double ShareOfMessages = 0.8;
    private const double SmallestMean = 0.4;
    private const double LargestMean = 0.6;

    // Other frames may come between the two.
    private const double LargestRatio = 2;

    // Every second frame repeats the counter of the one before it, or nearly; one that stands still repeats it in every frame.
    private const double LargestShareRepeated = 0.6;

    /// <summary>Whether it explains how often the counter of a message stood still.</summary>
    public static bool Explains(MessageTally tally) => tally.CounterRepeated.Count <= LargestShareRepeated * tally.Rows;

    /// <summary>What is seen of it on a bus, or null.</summary>
    public static DoubledFrames? On(BusTrack bus)
    {
        // Asked with every picture of a live bus: hardly any message comes twice as often as it should.
        if (bus.Tracks.Count(IsTwiceAsOften) < FewestMessages)
        {
            return null;
        }

        var periodic = bus.Tracks.FindAll(track => track.ShowsPeriod);
        var often = periodic.FindAll(track => IsTwiceAsOften(track) && !SenderCount.CountersInTurn(track));
        var apart = often.ConvertAll(ShorterGap);
        apart.Sort();
        var usual = apart.Count == 0 ? 0 : apart[apart.Count / 2];
        var alike = often.FindAll(track => ShorterGap(track) is var gap && gap <= LargestRatio * usual && usual <= LargestRatio * gap);
        return alike.Count < FewestMessages || alike.Count < ShareOfMessages * periodic.Count || Together.AreOfOneSender(alike.ConvertAll(track => track.Defined!))
            ? null
            : new DoubledFrames(alike.Count, new FrameSpan((long)usual));
    }

    private static bool IsTwiceAsOften(MessageTrack track) =>
        track.ShowsPeriod && track.Periods.Mean / track.Defined!.Definition.Timing.Every!.Value.Nanoseconds is > SmallestMean and < LargestMean;

    // The middle one of the shorter half of the gaps.
    private static double ShorterGap(MessageTrack track) => track.Periods.Quantile(0.25);
}
