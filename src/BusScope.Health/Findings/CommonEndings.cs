using System.Globalization;
using BusScope.Health.Tracking;

namespace BusScope.Health.Findings;

/// <summary>
/// Messages that all stopped together while others go on: the ignition was switched off, or what they all come through fell out. A bus does not tell
/// which, so it stays a fault; but one of them all.
/// </summary>
internal sealed class CommonEndings
{
    private readonly SessionTrack session;
    private readonly List<List<DefinedMessage>> groups;
    private readonly HashSet<DefinedMessage> all;

    /// <summary>Looks through the messages of a session.</summary>
    /// <param name="session">What was tracked.</param>
    /// <param name="stopped">Those that are stale at the end, though their bus is not silent.</param>
    public CommonEndings(SessionTrack session, IEnumerable<DefinedMessage> stopped)
    {
        this.session = session;

        // While a condition says that it is due, a message is at fault by itself.
        groups = Together.Of(stopped.Where(message => message.Tracks.Count == 1 && message.Condition is null), message => message.Tracks[0].Last);
        all = [.. groups.SelectMany(group => group)];
    }

    /// <summary>Whether a message is one of them.</summary>
    public bool Holds(DefinedMessage message) => all.Contains(message);

    /// <summary>Says so, once for all that stopped together.</summary>
    public void Report(FindingList findings)
    {
        foreach (var group in groups)
        {
            var (first, last) = (group[0].Tracks[0].Last, group[^1].Tracks[0].Last);
            var wasSound = session.Buses.TrueForAll(bus => bus.Silences.Count == 0)
                && findings.All.All(finding => finding.Severity == FindingSeverity.Note || finding.At >= first);
            group.ForEach(message => findings.Weigh(message, session.Needs.SeverityOf(message.Definition)));
            var seconds = (long)(first - session.Earliest).Seconds;
            var timed = session.Messages.Count(message => message.Tracks.Exists(track => track.Expectation is not null));
            var buses = string.Join(", ", group.GroupBy(message => message.Tracks[0].Bus).OrderBy(of => of.Key.Index).Select(of => string.Create(CultureInfo.InvariantCulture, $"{of.Count()} of bus {of.Key.Bus.Name}")));
            findings.Add(new Finding(
                FindingCodes.StoppedTogether,
                group.Max(message => session.Needs.SeverityOf(message.Definition)),
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"{group.Count} of {timed} messages ({buses}) stopped within {last - first} from {findings.Moment(first)} on and stayed away; the others go on. {(wasSound ? "Until then nothing was wrong. " : "")}As when the ignition is switched off, or a gateway, a fuse or a supply falls out. If you switched off: check with the ignition on to the end{(seconds > 0 ? $" (--for {seconds}s)" : "")}, or learn from a capture that holds the switching off: {NameList.Of(group)}"))
            {
                At = first,
                Until = last,
                Count = group.Count,
                Modules = NameList.Modules(group),
            });
        }
    }
}
