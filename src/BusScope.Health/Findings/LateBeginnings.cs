using System.Globalization;
using BusScope.Health.Tracking;

namespace BusScope.Health.Findings;

/// <summary>
/// Messages that all began together, after their grace time and some time after the check did: the ignition was switched on meanwhile, or what they
/// all come through woke late. A bus does not tell which, so nobody vouches for them, and nobody is called starved: they came in the end.
/// </summary>
internal sealed class LateBeginnings(SessionTrack session)
    : CommonFaults(session, Together.Of([.. session.Messages.Where(message => LateWakings.BeganLate(message) && message.Condition is null && message.Tracks[0].Expectation!.StaleGaps.First == session.Start)], message => message.Tracks[0].First, isEnding: false))
{
    /// <inheritdoc/>
    protected override FindingSeverity SeverityOf(DefinedMessage message) => FindingSeverity.Warning;

    /// <inheritdoc/>
    protected override Finding Of(List<DefinedMessage> group, FindingList findings)
    {
        var (first, last) = (group[0].Tracks[0].First, group.Max(message => message.Tracks[0].First));
        return new Finding(
            FindingCodes.BeganTogether,
            FindingSeverity.Warning,
            string.Create(CultureInfo.InvariantCulture, $"{group.Count} messages began together, {first - Session.Start} after the check did: as when the ignition is switched on meanwhile, or what they all come through wakes late. They are not judged: check again with the ignition on from before the start, or write 'while' if they are not always there"))
        {
            At = Session.Start,
            Until = last,
        };
    }
}
