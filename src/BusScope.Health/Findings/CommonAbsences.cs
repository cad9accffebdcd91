using BusScope.Health.Expectations;
using BusScope.Health.Tracking;

namespace BusScope.Health.Findings;

/// <summary>All, or nearly all, of what a condition says is due never came while other messages did: what it comes through is gone, or the condition is told wrongly.</summary>
/// <param name="session">What was tracked.</param>
/// <param name="missing">Those that never came.</param>
internal sealed class CommonAbsences(SessionTrack session, IEnumerable<DefinedMessage> missing) : CommonFaults(session, NearlyAllOf(missing))
{
    // Of those that came or are missing. This program's choice.
    private const double NearlyAll = 0.9;

    /// <inheritdoc/>
    protected override Finding Of(List<DefinedMessage> group, FindingList findings)
    {
        var since = group.Min(message => message.Unseen!.AwaitedSince);
        return new Finding(
            FindingCodes.MissingTogether,
            FindingSeverity.Fault,
            $"{Who(group)} never came, awaited since {findings.Moment(since)}; others came. As when what they all come through, a gateway, a fuse or a supply, is missing{OrSaysTheWrongThing(group[0].Condition)}")
        {
            At = since,
        };
    }

    // That all are missing since they are awaited says nothing of what they have in common; that none of the others came does.
    private static List<List<DefinedMessage>> NearlyAllOf(IEnumerable<DefinedMessage> missing)
    {
        var groups = Together.Of(missing.Where(message => message.Condition is not null), message => message.Unseen!.AwaitedSince);
        groups.RemoveAll(group => group.Count < NearlyAll * (group.Count + Came(group[0].Condition!)));
        return groups;
    }

    private static int Came(Condition condition) => condition.Dependents.Count(message => message.Tracks.Exists(track => track.Expectation is not null));
}
