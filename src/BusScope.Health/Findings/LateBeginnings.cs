using System.Globalization;
using BusScope.Frames;
using BusScope.Health.Tracking;

namespace BusScope.Health.Findings;

/// <summary>
/// Messages that all began together, after their grace time and some time after the check did: the ignition was switched on meanwhile, or what they
/// all come through woke late. A bus does not tell which, so nobody vouches for them, and nobody is called starved: they came in the end.
/// </summary>
internal sealed class LateBeginnings
{
    // One module may wake late with what it sends; so many messages are a state of the car, or come through a gateway. This program's choice.
    private const int Fewest = 8;
    private static readonly FrameSpan LongestApart = FrameSpan.FromMilliseconds(500);

    private readonly SessionTrack session;
    private readonly List<List<DefinedMessage>> groups = [];
    private readonly HashSet<DefinedMessage> all = [];

    /// <summary>Looks through the messages of a session.</summary>
    public LateBeginnings(SessionTrack session)
    {
        this.session = session;
        var group = new List<DefinedMessage>();
        foreach (var message in session.Messages.Where(BeganLate).OrderBy(message => message.Tracks[0].First))
        {
            if (group.Count > 0 && message.Tracks[0].First - group[^1].Tracks[0].First > LongestApart)
            {
                Close(group);
                group = [];
            }

            group.Add(message);
        }

        Close(group);
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

    // One known sender that wakes late is at fault by itself.
    private void Close(List<DefinedMessage> group)
    {
        if (group.Count >= Fewest && (group.Exists(message => message.Definition.From is null) || group.DistinctBy(message => message.Definition.From).Skip(1).Any()))
        {
            groups.Add(group);
            all.UnionWith(group);
        }
    }
}
