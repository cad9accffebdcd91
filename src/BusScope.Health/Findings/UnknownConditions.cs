using System.Globalization;
using BusScope.Health.Expectations;
using BusScope.Health.Tracking;

namespace BusScope.Health.Findings;

/// <summary>Says why it was not known whether a condition holds, and whether that is to be mended or to be recorded again.</summary>
internal sealed class UnknownConditions(SessionTrack session, FindingList findings)
{
    /// <summary>Of one that was never known.</summary>
    public string NeverKnown(Condition condition)
    {
        if (condition.Tellers.FirstOrDefault(teller => !teller.Last.IsKnown) is not { } absent)
        {
            return $"{condition.Text} is not known: what tells it came, but never with a value";
        }

        var message = session.Messages[absent.Message];
        var frames = message.Tracks.Sum(track => track.Frames);
        return $"{condition.Text} is not known, since {absent.Name}, which tells it, "
            + (frames > 0 ? string.Create(CultureInfo.InvariantCulture, $"came {frames} times, but never with its length: mend that first")
                : message.Unseen?.StateAt(session.Now) == MessageState.Missing ? "never came: mend that first"
                : "has not come yet: record longer");
    }

    /// <summary>Of one that is not known any more, or was not for a while.</summary>
    public string NoLongerKnown(Condition condition, UnknownTime unknown)
    {
        var (from, length, silent, isOver) = unknown;
        var bus = session.Places.TrackOf(session.Messages[silent.Message]);
        var text = isOver ? $"{condition.Text} was not known for {length} from {findings.Moment(from)} on, " : $"{condition.Text} is last known at {findings.Moment(from)}: ";
        return text + (
            !isOver ? bus?.RecordedUntil < session.Now ? $"{silent.Name}, which tells it, is on bus {bus.Bus.Name}, of which the recording ends then" : $"{silent.Name}, which tells it, is silent since. Mend that first"
            : bus is { Evidence.ShowsLoss: true, Silences: var holes } && holes.LongestFrom >= from && holes.LongestFrom < from + length
                ? $"since the recording of bus {bus.Bus.Name}, on which {silent.Name} tells it, has a hole there: record again"
            : $"while {silent.Name}, which tells it, was silent: mend that first");
    }
}
