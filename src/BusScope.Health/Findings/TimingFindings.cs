using System.Globalization;
using BusScope.Frames;
using BusScope.Health.Tracking;

namespace BusScope.Health.Findings;

/// <summary>What is wrong with when the frames of one sender came.</summary>
internal readonly struct TimingFindings(FindingList findings, DefinedMessage message, MessageTrack track, FindingSeverity severity)
{
    /// <summary>The end of the check for this sender; null as long as it goes on, where it cannot be judged, or where that it is late then is told otherwise.</summary>
    public FrameTime? EndsAt { get; init; }

    /// <summary>Whether it was stale, or came too late, together with others, which is told for all of them at once.</summary>
    public bool WasStaleWithOthers { get; init; }

    /// <summary>Takes what is late because its bus was quiet at the end.</summary>
    public required QuietEnds QuietEnds { get; init; }

    private string Name => message.Definition.Name;

    /// <summary>Adds what is found.</summary>
    public void Find()
    {
        var pace = new PaceFindings(findings, message, track, severity);
        if (!WasStaleWithOthers && track.Expectation?.StaleGaps is { Count: > 0 } gaps && !pace.Explains(gaps))
        {
            Add(new Finding(
                FindingCodes.MessageStale,
                severity,
                LateWakings.BeganLate(message) ? $"{Name} came late: first {gaps.Longest} after it was due at {findings.Moment(gaps.First)}, awaited for {track.Expectation.Grace}"
                    : string.Create(CultureInfo.InvariantCulture, $"{Name} was stale {Times(gaps.Count)}: for {gaps.Longest} from {findings.Moment(gaps.LongestFrom)}{(gaps.Count > 1 ? " at the longest" : "")}, stale after {track.Expectation.StaleAfter}"))
            {
                At = gaps.First,
                Until = gaps.Last,
                Frame = track.Numbers?.Of(gaps).First,
                UntilFrame = track.Numbers?.Of(gaps).Last,
                Count = gaps.Count,
            });
        }

        if (!pace.Find())
        {
            Late();
        }
    }

    private void Late()
    {
        if (track.Expectation is { } expectation && Threshold.Late.IsExceeded(expectation.LateGaps.Count, expectation.Gaps))
        {
            var gaps = expectation.LateGaps;
            Add(new Finding(
                FindingCodes.MessageLate,
                FindingSeverity.Warning,
                string.Create(CultureInfo.InvariantCulture, $"{Name} was late {Times(gaps.Count)} in {expectation.Gaps} frames: nothing for {gaps.Longest} at the longest, from {findings.Moment(gaps.LongestFrom)}; late after {expectation.LateAfter}"))
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
        if (track.Expectation is { } expectation && EndsAt is { } end && expectation.StateAt(end) == MessageState.Late && !QuietEnds.Takes(message, track))
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
}
