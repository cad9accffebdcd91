using System.Globalization;
using BusScope.Frames;
using BusScope.Health.Tracking;

namespace BusScope.Health.Findings;

/// <summary>What is wrong with when the frames of one sender came.</summary>
internal readonly struct TimingFindings(FindingList findings, DefinedMessage message, MessageTrack track, FindingSeverity severity)
{
    // Beyond half a period off, the usual gap is no matter of jitter any more. This program's choice.
    private const double SlowRatio = 1.5;
    private const double FastRatio = 0.6;
    private const long FewestGaps = 8;

    // One gap in twenty shorter than the one and one in twenty longer than the other: no arbitration shifts frames by that much.
    private const double EarlyRatio = 0.6;
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
        var text = SenderCount.CountersInTurn(track)
            ? string.Create(CultureInfo.InvariantCulture, $"{Name} has two senders: two counters alternate in {track.Tally!.CounterFollowsSecondLast} of {track.Frames} frames")
            : string.Create(CultureInfo.InvariantCulture, $"{Name} has two senders: frames come {message.Definition.Timing.Every!.Value.Nanoseconds / track.Periods.Mean:0.0} times as often as defined, in pairs");
        AddThroughout(new Finding(FindingCodes.TwoSenders, severity, text) { Count = track.Frames });
    }

    private bool PeriodIsOff()
    {
        if (message.Definition.Timing is not { Every: { } every } timing || track.Periods.Count < FewestGaps)
        {
            return false;
        }

        var median = track.Periods.Figures.Median!.Value;
        var ratio = median.Nanoseconds / (double)every.Nanoseconds;
        var (code, weight) = ratio > SlowRatio ? (FindingCodes.MessageTooSlow, severity)
            : ratio < FastRatio && !timing.OnChange ? (FindingCodes.MessageTooFast, FindingSeverity.Warning)
            : (null, FindingSeverity.Note);
        if (code is null)
        {
            return false;
        }

        AddThroughout(new Finding(code, weight, $"{Name} comes every {median} instead of every {every}") { Count = track.Periods.Count });
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
        if (low >= every * EarlyRatio || high <= every * LateRatio)
        {
            return false;
        }

        AddThroughout(new Finding(FindingCodes.MessageJitters, FindingSeverity.Warning, $"{Name} jitters: one gap in twenty is shorter than {low} and one longer than {high} instead of {every}")
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

    private void AddThroughout(Finding finding) => Add(finding with
    {
        At = track.First,
        Until = track.Last,
        Frame = track.Numbers?.Earliest,
        UntilFrame = track.Numbers?.Latest,
    });
}
