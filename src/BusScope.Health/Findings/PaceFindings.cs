using System.Globalization;
using BusScope.Frames;
using BusScope.Health.Expectations;
using BusScope.Health.Tracking;

namespace BusScope.Health.Findings;

/// <summary>What is wrong with how often the frames of one sender came, and since when.</summary>
internal readonly struct PaceFindings(FindingList findings, DefinedMessage message, MessageTrack track, FindingSeverity severity)
{
    // So many gaps make a usual one. Who sends too slowly has fewer in the time in which so many were due.
    private const long FewestGaps = 8;
    private const long FewestGapsWhereMoreWereDue = 2;

    // What lasted for this share of the time was so throughout. This program's choice.
    private const double Throughout = 0.9;

    // A healthy sender keeps its period to a few parts in a hundred. Both the usual gap and the mean have to say so: gaps that alternate have an odd
    // usual one, and frames that are missing an odd mean. This program's choice.
    private const double LargestDifference = 0.12;
    private const long FewestForDifference = 40;

    // One gap in twenty shorter than the one and one in twenty longer than the other: no arbitration shifts frames by that much.
    private const double LateRatio = 1.4;
    private const long FewestForJitter = 40;

    // The usual gap of two senders whose frames fall halfway between one another.
    private const double SmallestHalf = 0.4;

    // The share of the time that long gaps take where what comes in between comes together. This program's choice.
    private const double MostInLongGaps = 0.5;

    // A gap that is longer than so many usual ones is one of its own.
    private const double MostOfUsual = 2;

    // What comes too slowly now: a jam of the bus is over sooner. This program's choice.
    private static readonly FrameSpan shortestSlow = FrameSpan.FromSeconds(1);

    private string Name => message.Definition.Name;

    /// <summary>Adds what is found.</summary>
    /// <returns>Whether anything was: that frames were late is then a consequence.</returns>
    public bool Find()
    {
        if (SenderCount.Of(track) == 2)
        {
            TwoSenders();
            return true;
        }

        if (IsOff())
        {
            return true;
        }

        Extra();
        return Jitters() || Differs();
    }

    /// <summary>Whether it comes so slowly that it is stale in between, each time: then that is not told beside it.</summary>
    public bool Explains(GapTally stale) =>
        SenderCount.Of(track) != 2 && Slow() is { } slow && IsStaleBetween(slow.Gap) && stale.Longest <= slow.Gap * MostOfUsual;

    private void TwoSenders()
    {
        var counters = SenderCount.CountersInTurn(track);
        var paired = track.Pace is { Paired.Gaps: > 0 } ? track.Pace.Paired : null;
        var extra = !counters && paired is null && SenderCount.ExtrasBreakCounter(track) ? track.Pace!.Extra : null;
        var text = counters
            ? string.Create(CultureInfo.InvariantCulture, $"two counters alternate in {track.Tally!.CounterFollowsSecondLast} of {track.Frames} frames")
            : extra is not null ? string.Create(CultureInfo.InvariantCulture, $"{extra.Odd} of {track.Frames} frames come in between the others, and have a counter of their own")
            : string.Create(CultureInfo.InvariantCulture, $"frames come {message.Definition.Timing.Every!.Value.Nanoseconds / (paired?.Mean.Nanoseconds ?? track.Periods.Mean):0.0} times as often as defined, in pairs");
        AddDuring(During(paired ?? extra) ?? Broken(), new Finding(FindingCodes.TwoSenders, severity, $"{Name} has two senders: {text}") { Count = paired?.Gaps ?? extra?.Odd ?? track.Frames });
    }

    // Where nothing but the counters tells of the second sender: since the count was broken.
    private (FramePlace First, FramePlace Last)? Broken()
    {
        if (!SenderCount.CountersInTurn(track) || track.Tally is not { CounterSkipped: { Count: > 0 } skipped })
        {
            return null;
        }

        var frames = track.Numbers?.Of(skipped);
        return (new FramePlace(skipped.First, frames?.First ?? 0), new FramePlace(skipped.Last, frames?.Last ?? 0));
    }

    private bool IsOff()
    {
        if (Slow() is { } slow)
        {
            ComesEvery(slow.Gap, FindingCodes.MessageTooSlow, severity, slow.During, slow.Gaps, IsStaleBetween(slow.Gap) ? $": stale after {track.Expectation!.StaleAfter}, each time" : "");
            return true;
        }

        if (Fast() is { } fast)
        {
            ComesEvery(fast.Gap, FindingCodes.MessageTooFast, FindingSeverity.Warning, fast.During, fast.Gaps, fast.Gap > message.Definition.Timing.Every!.Value * SmallestHalf ? ": one sender that is too fast, or two just halfway between one another" : "");
            return true;
        }

        return false;
    }

    // How often it comes where that is too often. Frames in bursts have short gaps as well, and long ones that make up for them.
    private (FrameSpan Gap, (FramePlace First, FramePlace Last)? During, long Gaps)? Fast()
    {
        if (Ratios() is not { } ratios || !(Math.Max(ratios.Usual, ratios.Expected) < PaceWatch.FastRatio) || message.Definition.Timing.OnChange || track.Periods.Count < FewestGaps || IsInBursts())
        {
            return null;
        }

        // Gaps on both sides of the limit by turns make no stretch that tells since when: then it is the whole time, and its mean.
        var pace = track.Pace!;
        var (usual, mean) = (track.Periods.Figures.Median!.Value, new FrameSpan((long)pace.Mean));
        return pace.Fast.Gaps * 2 >= track.Periods.Count || mean >= message.Definition.Timing.Every!.Value * PaceWatch.FastRatio
            ? (usual, During(pace.Fast), pace.Fast.Gaps)
            : (mean, null, track.Periods.Count);
    }

    private bool IsInBursts() => track.Expectation is { } expectation && expectation.LateGaps.Total + expectation.StaleGaps.Total > track.Pace!.Time * MostInLongGaps;

    // How often it comes where that is too seldom.
    private (FrameSpan Gap, (FramePlace First, FramePlace Last)? During, long Gaps)? Slow()
    {
        if (Ratios() is not { } ratios)
        {
            return null;
        }

        // A slow sender contributes few gaps, so that they are weighed by the time that they take as well; a fast one contributes many.
        var (pace, every) = (track.Pace!, message.Definition.Timing.Every!.Value);
        var isSlow = Math.Min(ratios.Usual, ratios.Expected) > PaceWatch.SlowRatio && Math.Round(pace.Time.Nanoseconds / (double)every.Nanoseconds) >= FewestGaps;
        if (isSlow || pace.Slow.Time * 2 > pace.Time)
        {
            return (isSlow ? track.Periods.Figures.Median!.Value : pace.Slow.Mean, During(pace.Slow), pace.Slow.Gaps);
        }

        // However short against the whole, what goes on at the end is how it comes now.
        return pace.SlowNow is { Gaps: >= FewestGaps } now && now.Time >= shortestSlow ? (now.Mean, (now.First, now.Last), now.Gaps) : null;
    }

    // The usual gap and the mean one in periods. The usual one is that of all gaps, also of those while nothing was expected; the mean leaves these out.
    private (double Usual, double Expected)? Ratios()
    {
        if (message.Definition.Timing.Every is not { } every || track.Pace is not { } pace || track.Periods.Count < FewestGapsWhereMoreWereDue)
        {
            return null;
        }

        var usual = track.Periods.Figures.Median!.Value.Nanoseconds / (double)every.Nanoseconds;
        return (usual, message.Condition is null ? usual : pace.Mean / every.Nanoseconds);
    }

    private bool IsStaleBetween(FrameSpan gap) => track.Expectation is { } expectation && gap > expectation.StaleAfter;

    private void ComesEvery(FrameSpan gap, string code, FindingSeverity weight, (FramePlace First, FramePlace Last)? during, long gaps, string meaning = "") =>
        AddDuring(during, new Finding(code, weight, $"{Name} comes every {gap} instead of every {message.Definition.Timing.Every}") { Count = gaps > 0 ? gaps : track.Periods.Count }, meaning);

    private void Extra()
    {
        if (SenderCount.HasExtras(track))
        {
            var extra = track.Pace!.Extra;
            var text = string.Create(CultureInfo.InvariantCulture, $"{Name} keeps its period of {message.Definition.Timing.Every}, but {extra.Odd} of {track.Frames} frames come in between");
            AddDuring(During(extra), new Finding(FindingCodes.ExtraFrames, FindingSeverity.Warning, text) { Count = extra.Odd }, ": a second sender, or its own that sends on change as well");
        }
    }

    private bool Differs()
    {
        if (message.Definition.Timing is not { Every: { } every, OnChange: false } || track.Pace is not { } pace || track.Periods.Count < FewestForDifference)
        {
            return false;
        }

        // The mean is none where nothing was ever expected.
        double period = every.Nanoseconds;
        var (usual, mean) = (track.Periods.Figures.Median!.Value.Nanoseconds / period, pace.Mean / period);
        if (!(Math.Min(usual, mean) > 1 + LargestDifference || Math.Max(usual, mean) < 1 - LargestDifference))
        {
            return false;
        }

        ComesEvery(track.Periods.Figures.Median!.Value, FindingCodes.PeriodDiffers, FindingSeverity.Warning, null, track.Periods.Count);
        return true;
    }

    private bool Jitters()
    {
        if (message.Definition.Timing is not { Every: { } every, OnChange: false } || track.Periods.Count < FewestForJitter)
        {
            return false;
        }

        var low = track.Periods.Figures.P05!.Value;
        var high = track.Periods.Figures.P95!.Value;

        // These are figures of all gaps, also of those while nothing was expected.
        if (track.Pace is not { Uneven.Gaps: > 0 } || low >= every * PaceWatch.FastRatio || high <= every * LateRatio)
        {
            return false;
        }

        AddDuring(During(track.Pace?.Uneven), new Finding(FindingCodes.MessageJitters, FindingSeverity.Warning, $"{Name} jitters: one gap in twenty is shorter than {low} and one longer than {high} instead of {every}")
        {
            Count = track.Periods.Count,
        });
        return true;
    }

    private static (FramePlace First, FramePlace Last)? During(GapStretches? stretches) => stretches is { Gaps: > 0 } ? (stretches.First, stretches.Last) : null;

    // What began long after the message did, or ended long before it, says so.
    private void AddDuring((FramePlace First, FramePlace Last)? place, Finding finding, string meaning = "")
    {
        var whole = track.Last - track.First;
        if (place is not { } part || part.Last.Time - part.First.Time > whole * Throughout)
        {
            findings.Add(message, finding with { Text = $"{finding.Text}{meaning}", At = track.First, Until = track.Last, Frame = track.Numbers?.Earliest, UntilFrame = track.Numbers?.Latest }, track.Bus);
            return;
        }

        var isOver = track.Last - part.Last.Time > whole * (1 - Throughout);
        var from = finding with
        {
            Text = $"{finding.Text}, from {findings.Moment(part.First.Time)} {(isOver ? $"to {findings.Moment(part.Last.Time)}" : "on")}{meaning}",
            At = part.First.Time,
            Until = part.Last.Time,
            Frame = part.First.Number == 0 ? null : part.First.Number,
            UntilFrame = part.Last.Number == 0 ? null : part.Last.Number,
        };
        findings.Add(message, from, track.Bus);
    }
}
