using BusScope.Health.Tracking;

namespace BusScope.Health.Findings;

/// <summary>Messages that were away once, all from about the same moment on, while others went on: what they all come through fell out for a while.</summary>
/// <param name="session">What was tracked.</param>
/// <param name="stale">Those of one sender that were stale once.</param>
internal sealed class CommonGaps(SessionTrack session, IEnumerable<DefinedMessage> stale)
    : CommonFaults(session, Together.Of([.. stale.Where(message => !LateWakings.BeganLate(message))], message => message.Tracks[0].Expectation!.StaleGaps.First, isEnding: true))
{
    /// <inheritdoc/>
    protected override Finding Of(List<DefinedMessage> group, FindingList findings)
    {
        var gaps = group.ConvertAll(message => message.Tracks[0].Expectation!.StaleGaps);
        var (shortest, longest) = (gaps.Min(gap => gap.Longest), gaps.Max(gap => gap.Longest));
        var isOver = group.Exists(message => message.Tracks[0].Last > message.Tracks[0].Expectation!.StaleGaps.First);
        return new Finding(
            FindingCodes.StaleTogether,
            FindingSeverity.Fault,
            $"{Who(group)} were stale together, once each: from {findings.Moment(gaps[0].First)} on, for {Range(shortest, longest)}{(isOver ? "" : ", and came no more")}; the others went on. As when a gateway, a fuse or a supply falls out{(isOver ? " for a while" : "")}{OrSaysTheWrongThing(group[0].Condition)}")
        {
            At = gaps[0].First,
            Until = gaps.Max(gap => gap.Last),
        };
    }
}
