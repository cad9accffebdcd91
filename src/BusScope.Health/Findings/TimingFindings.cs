using System.Globalization;
using BusScope.Frames;
using BusScope.Health.Tracking;

namespace BusScope.Health.Findings;

/// <summary>What is wrong with when the frames of one sender came.</summary>
internal readonly struct TimingFindings(FindingList findings, DefinedMessage message, MessageTrack track, FindingSeverity severity)
{
    private const long FewestGaps = 8;

    // What lasted for this share of the time was so throughout. This program's choice.
    private const double Throughout = 0.9;

    // One gap in twenty shorter than the one and one in twenty longer than the other: no arbitration shifts frames by that much.
    private const double LateRatio = 1.4;
    private const long FewestForJitter = 40;

    /// <summary>The end of the check for this sender; null as long as it goes on, or where it cannot be judged.</summary>
    public FrameTime? EndsAt { get; init; }

    /// <summary>Whether its first frame came late together with those of others, which is told for all of them at once.</summary>
    public bool BeganWithOthers { get; init; }

    private string Name => message.Definition.Name;

    /// <summary>Adds what is found.</summary>
    public void Find()
    {
        if (!BeganWithOthers && track.Expectation?.StaleGaps is { Count: > 0 } gaps)
        {
            Add(new Finding(
                FindingCodes.MessageStale,
                severity,
                string.Create(CultureInfo.InvariantCulture, $"{Name} was stale {Times(gaps.Count)}: for {gaps.Longest} from {findings.Moment(gaps.LongestFrom)}{(gaps.Count > 1 ? " at the longest" : "")}, stale after {track.Expectation.StaleAfter}"))
            {
                At = gaps.First,
                Until = gaps.Last,
                Frame = track.Numbers?.Of(gaps).First,
                UntilFrame = track.Numbers?.Of(gaps).Last,
                Count = gaps.Count,
            });
        }

        if (SenderCount.Of(track) == 2)
        {
            TwoSenders();
        }
        else if (!PeriodIsOff() && !Jitters())
        {
            Late();
        }
    }

    private void TwoSenders()
    {
        var paired = track.Pace is { Paired.Gaps: > 0 } ? track.Pace.Paired : null;
        var text = SenderCount.CountersInTurn(track)
            ? string.Create(CultureInfo.InvariantCulture, $"{Name} has two senders: two counters alternate in {track.Tally!.CounterFollowsSecondLast} of {track.Frames} frames")
            : string.Create(CultureInfo.InvariantCulture, $"{Name} has two senders: frames come {message.Definition.Timing.Every!.Value.Nanoseconds / (paired?.Mean.Nanoseconds ?? track.Periods.Mean):0.0} times as often as defined, in pairs");
        AddDuring(paired is null ? Broken() : During(paired), new Finding(FindingCodes.TwoSenders, severity, text) { Count = paired?.Gaps ?? track.Frames });
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

    private bool PeriodIsOff()
    {
        if (message.Definition.Timing is not { Every: { } every } timing || track.Pace is not { } pace || track.Periods.Count < FewestGaps)
        {
            return false;
        }

        // A slow sender contributes few gaps, so that they are weighed by the time that they take as well; a fast one contributes many.
        var median = track.Periods.Figures.Median!.Value;
        var ratio = median.Nanoseconds / (double)every.Nanoseconds;
        if (ratio > PaceWatch.SlowRatio || pace.Slow.Time * 2 > pace.Time)
        {
            ComesEvery(ratio > PaceWatch.SlowRatio ? median : pace.Slow.Mean, FindingCodes.MessageTooSlow, severity, pace.Slow);
            return true;
        }

        if (ratio < PaceWatch.FastRatio && !timing.OnChange)
        {
            ComesEvery(median, FindingCodes.MessageTooFast, FindingSeverity.Warning, pace.Fast);
            return true;
        }

        return false;
    }

    private void ComesEvery(FrameSpan gap, string code, FindingSeverity weight, GapStretches off) =>
        AddDuring(During(off), new Finding(code, weight, $"{Name} comes every {gap} instead of every {message.Definition.Timing.Every}") { Count = off.Gaps > 0 ? off.Gaps : track.Periods.Count });

    private bool Jitters()
    {
        if (message.Definition.Timing is not { Every: { } every, OnChange: false } || track.Periods.Count < FewestForJitter)
        {
            return false;
        }

        var low = track.Periods.Figures.P05!.Value;
        var high = track.Periods.Figures.P95!.Value;
        if (low >= every * PaceWatch.FastRatio || high <= every * LateRatio)
        {
            return false;
        }

        AddDuring(During(track.Pace?.Uneven), new Finding(FindingCodes.MessageJitters, FindingSeverity.Warning, $"{Name} jitters: one gap in twenty is shorter than {low} and one longer than {high} instead of {every}")
        {
            Count = track.Periods.Count,
        });
        return true;
    }

    private void Late()
    {
        if (track.Expectation is { } expectation && Threshold.Late.IsExceeded(expectation.LateGaps.Count, expectation.Gaps))
        {
            var gaps = expectation.LateGaps;
            Add(new Finding(
                FindingCodes.MessageLate,
                FindingSeverity.Warning,
                string.Create(CultureInfo.InvariantCulture, $"{Name} was late {Times(gaps.Count)} in {expectation.Gaps} frames: by {gaps.Longest} at the longest, at {findings.Moment(gaps.LongestFrom)}; late after {expectation.LateAfter}"))
            {
                At = gaps.First,
                Until = gaps.Last,
                Frame = track.Numbers?.Of(gaps).First,
                UntilFrame = track.Numbers?.Of(gaps).Last,
                Count = gaps.Count,
            });
        }
        else
        {
            LateAtTheEnd();
        }
    }

    // Beside what is late often enough for a warning: what a module's count of late messages at the end means.
    private void LateAtTheEnd()
    {
        if (track.Expectation is { } expectation && EndsAt is { } end && expectation.StateAt(end) == MessageState.Late)
        {
            Add(new Finding(
                FindingCodes.MessageLate,
                FindingSeverity.Note,
                $"{Name} is late at the end: nothing for {end - track.Last}, late after {expectation.LateAfter}{(track.Periods.Count == 0 ? "" : $"; its longest gap before was {new FrameSpan(track.Periods.Longest)}")}")
            {
                At = track.Last,
                Frame = track.Numbers?.Latest,
            });
        }
    }

    private static string Times(long count) => count == 1 ? "once" : string.Create(CultureInfo.InvariantCulture, $"{count} times");

    private void Add(Finding finding) => findings.Add(message, finding, track.Bus);

    private static (FramePlace First, FramePlace Last)? During(GapStretches? stretches) => stretches is { Gaps: > 0 } ? (stretches.First, stretches.Last) : null;

    // What began long after the message did, or ended long before it, says so.
    private void AddDuring((FramePlace First, FramePlace Last)? place, Finding finding)
    {
        var whole = track.Last - track.First;
        if (place is not { } part || part.Last.Time - part.First.Time > whole * Throughout)
        {
            Add(finding with { At = track.First, Until = track.Last, Frame = track.Numbers?.Earliest, UntilFrame = track.Numbers?.Latest });
            return;
        }

        var isOver = track.Last - part.Last.Time > whole * (1 - Throughout);
        Add(finding with
        {
            Text = $"{finding.Text}, from {findings.Moment(part.First.Time)} {(isOver ? $"to {findings.Moment(part.Last.Time)}" : "on")}",
            At = part.First.Time,
            Until = part.Last.Time,
            Frame = part.First.Number == 0 ? null : part.First.Number,
            UntilFrame = part.Last.Number == 0 ? null : part.Last.Number,
        });
    }
}
