using System.Globalization;
using BusScope.Health.Tracking;

namespace BusScope.Health.Findings;

/// <summary>
/// Messages that all began together, after their grace time and some time after the check did: the ignition was switched on meanwhile, or what they
/// all come through woke late. A bus does not tell which, so nobody vouches for them, and nobody is called starved: they came in the end.
/// </summary>
internal sealed class LateBeginnings
{
    private readonly SessionTrack session;
    private readonly List<List<DefinedMessage>> groups;
    private readonly HashSet<DefinedMessage> all;

    /// <summary>Looks through the messages of a session.</summary>
    public LateBeginnings(SessionTrack session)
    {
        this.session = session;
        groups = Together.Of(session.Messages.Where(BeganLate), message => message.Tracks[0].First);
        all = [.. groups.SelectMany(group => group)];
    }

    /// <summary>Whether a message is one of them.</summary>
    public bool Holds(DefinedMessage message) => all.Contains(message);

    /// <summary>Says so, once for all that began together.</summary>
    public void Report(FindingList findings)
    {
        foreach (var group in groups)
        {
            var (first, last) = (group[0].Tracks[0].First, group[^1].Tracks[0].First);
            group.ForEach(message => findings.Weigh(message, FindingSeverity.Warning));
            findings.Add(new Finding(
                FindingCodes.BeganTogether,
                FindingSeverity.Warning,
                string.Create(CultureInfo.InvariantCulture, $"{group.Count} messages began together, {first - session.Start} after the check did: as when the ignition is switched on meanwhile, or what they all come through wakes late. They are not judged: check again with the ignition on from before the start, or write 'while' if they are not always there: {NameList.Of(group)}"))
            {
                At = session.Start,
                Until = last,
                Count = group.Count,
                Modules = NameList.Modules(group),
            });
        }
    }

    // What depends on a condition was awaited since it held, and what had more than this one gap failed later as well.
    private bool BeganLate(DefinedMessage message) =>
        message.Tracks is [{ Expectation: { Condition: null, StaleGaps: { Count: 1 } gaps } } track]
        && gaps.First == session.Start && gaps.Last == track.First;
}
