using BusScope.Health.Tracking;

namespace BusScope.Health.Findings;

/// <summary>Messages whose first frames came together, but long after they were due: what they all come through woke late.</summary>
/// <param name="session">What was tracked.</param>
/// <param name="stale">Those of one sender that were stale once, if that is not told as something else.</param>
internal sealed class LateWakings(SessionTrack session, IEnumerable<DefinedMessage> stale)
    : CommonFaults(session, Together.Of([.. stale.Where(BeganLate)], message => message.Tracks[0].First, isEnding: false))
{
    /// <summary>Whether all that a message failed in is that its first frame came after the grace time.</summary>
    public static bool BeganLate(DefinedMessage message) => message.Tracks is [{ Expectation.StaleGaps: { Count: 1 } gaps } track] && gaps.Last == track.First;

    /// <inheritdoc/>
    protected override Finding Of(List<DefinedMessage> group, FindingList findings)
    {
        var gaps = group.ConvertAll(message => message.Tracks[0].Expectation!.StaleGaps);
        var (first, shortest, longest) = (gaps.Min(gap => gap.First), gaps.Min(gap => gap.Longest), gaps.Max(gap => gap.Longest));
        return new Finding(
            FindingCodes.StaleTogether,
            FindingSeverity.Fault,
            $"{Who(group)} came late together: first {Range(shortest, longest)} after they were due at {findings.Moment(first)}. As when what they all come through wakes late{OrSaysTheWrongThing(group[0].Condition)}")
        {
            At = first,
            Until = gaps.Max(gap => gap.Last),
        };
    }
}
