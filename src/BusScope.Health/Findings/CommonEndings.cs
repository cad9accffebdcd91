using System.Globalization;
using BusScope.Health.Tracking;

namespace BusScope.Health.Findings;

/// <summary>
/// Messages that all stopped together while others go on: the ignition was switched off, or what they all come through fell out. A bus does not tell
/// which, so it stays a fault; but one of them all.
/// </summary>
/// <param name="session">What was tracked.</param>
/// <param name="stopped">Those that are stale at the end, though their bus is not silent.</param>
internal sealed class CommonEndings(SessionTrack session, IEnumerable<DefinedMessage> stopped)
    : CommonFaults(session, Together.Of([.. stopped.Where(message => message.Tracks.Count == 1)], message => message.Tracks[0].Last, isEnding: true))
{
    /// <inheritdoc/>
    protected override Finding Of(List<DefinedMessage> group, FindingList findings)
    {
        var (first, last) = (group[0].Tracks[0].Last, group.Max(message => message.Tracks[0].Last));
        var wasSound = Session.Buses.TrueForAll(bus => bus.Silences.Count == 0)
            && findings.All.All(finding => finding.Severity == FindingSeverity.Note || finding.At >= first);
        var seconds = (long)(first - Session.Earliest).Seconds;
        var cause = group[0].Condition is { } condition
            ? $"As when a gateway, a fuse or a supply falls out{OrSaysTheWrongThing(condition)}"
            : string.Create(CultureInfo.InvariantCulture, $"As when the ignition is switched off, or a gateway, a fuse or a supply falls out. If you switched off: check with the ignition on to the end{(seconds > 0 ? $" (--for {seconds}s)" : "")}, or learn from a capture that holds the switching off");
        return new Finding(
            FindingCodes.StoppedTogether,
            FindingSeverity.Fault,
            $"{Who(group)} stopped within {last - first} from {findings.Moment(first)} on and stayed away; the others go on. {(wasSound ? "Until then nothing was wrong. " : "")}{cause}")
        {
            At = first,
            Until = last,
        };
    }
}
