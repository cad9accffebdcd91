using BusScope.Frames;
using BusScope.Health.Tracking;

namespace BusScope.Health.Findings;

/// <summary>
/// Finds defined messages that came on another bus instead of their own: adapters or plugs that were swapped. Several of
/// one pair of buses are one finding.
/// </summary>
internal sealed class WrongBusSearch
{
    // As many are still named one by one.
    private const int MostNamed = 3;

    private readonly SessionTrack session;
    private readonly Dictionary<DefinedMessage, MessageTrack> found = [];

    // The buses of the file that the source has under another name, and that one.
    private readonly Dictionary<string, BusTrack> renamed = new(StringComparer.Ordinal);

    /// <summary>Searches the identifiers that no definition claims.</summary>
    public WrongBusSearch(SessionTrack session)
    {
        this.session = session;
        var lost = session.Messages
            .Where(message => message.Unseen?.StateAt(session.Now) == MessageState.Missing || HasStopped(message))
            .ToHashSet();
        if (lost.Count == 0)
        {
            return;
        }

        var buses = lost.Select(message => message.Definition.Bus).OfType<string>().Distinct(StringComparer.Ordinal).ToList();
        var elsewhere = new Dictionary<DefinedMessage, List<MessageTrack>>();
        foreach (var track in session.Tracks.Where(track => track.Defined is null))
        {
            foreach (var bus in buses)
            {
                if (bus != track.Bus.Bus.Name && session.Plan.Find(bus, onlyBus: false, track.Id) is var index and >= 0
                    && lost.Contains(session.Messages[index]) && session.Messages[index].Takes(track.Length)
                    && (LastOnItsOwn(session.Messages[index]) is not { } last || track.First > last))
                {
                    Of(session.Messages[index], elsewhere).Add(track);
                }
            }
        }

        FindNames(elsewhere);
        foreach (var (message, tracks) in elsewhere)
        {
            var name = renamed.GetValueOrDefault(message.Definition.Bus ?? "");
            found.Add(message, tracks.Find(track => track.Bus == name) ?? tracks[0]);
        }
    }

    private static List<MessageTrack> Of(DefinedMessage message, Dictionary<DefinedMessage, List<MessageTrack>> elsewhere)
    {
        if (!elsewhere.TryGetValue(message, out var tracks))
        {
            elsewhere.Add(message, tracks = []);
        }

        return tracks;
    }

    // Most of what is expected of a bus that is not there came on one other bus. A single identifier that two buses have in common says nothing about the rest.
    private void FindNames(Dictionary<DefinedMessage, List<MessageTrack>> elsewhere)
    {
        foreach (var bus in elsewhere.Keys.Select(message => session.Places.BusOf(message)).Distinct(StringComparer.Ordinal).Where(name => !session.Buses.Exists(bus => bus.Bus.Name == name)))
        {
            var best = elsewhere.Where(entry => entry.Key.Definition.Bus == bus).SelectMany(entry => entry.Value.Select(track => track.Bus).Distinct()).CountBy(other => other).MaxBy(other => other.Value);
            if (best.Value * 2 > ExpectedOf(bus).Count())
            {
                renamed.Add(bus, best.Key);
            }
        }
    }

    private IEnumerable<DefinedMessage> ExpectedOf(string bus) => session.Messages.Where(message => message.Definition.Bus == bus && message.Unseen is { Holds: true });

    // While its own bus goes on: what a silent bus brings no more did not move.
    private bool HasStopped(DefinedMessage message) =>
        message is { Definition.Bus: not null, Tracks: [{ Expectation: { } expectation } track] }
        && !session.IsSilent(track.Bus, session.Now) && expectation.StateAt(session.Now) == MessageState.Stale;

    private static FrameTime? LastOnItsOwn(DefinedMessage message) => message.Tracks.Count == 0 ? null : message.Tracks[0].Last;

    /// <summary>Whether a message came on another bus.</summary>
    public bool Claims(DefinedMessage message) => found.ContainsKey(message);

    /// <summary>Whether the source has a bus of the file under another name.</summary>
    public bool Renames(string bus) => renamed.ContainsKey(bus);

    /// <summary>Whether a bus of the source stands for one that the file calls otherwise.</summary>
    public bool StandsFor(BusTrack bus) => renamed.ContainsValue(bus);

    /// <summary>Reports what was found.</summary>
    public void Report(FindingList findings)
    {
        foreach (var (own, other) in renamed)
        {
            Rename(findings, own, other);
        }

        foreach (var pair in found.Where(entry => !Renames(session.Places.BusOf(entry.Key))).GroupBy(entry => (Own: session.Places.BusOf(entry.Key), Other: entry.Value.Bus.Bus.Name, HasMoved: entry.Key.Tracks.Count > 0)))
        {
            if (pair.Count() <= MostNamed)
            {
                foreach (var (message, track) in pair)
                {
                    findings.Add(message, new Finding(
                        FindingCodes.WrongBus,
                        session.Needs.SeverityOf(message.Definition),
                        LastOnItsOwn(message) is { } last
                            ? $"{message.Definition.Name} comes on bus {pair.Key.Other} from {findings.Moment(track.First)} on, {track.Frames} times, and on its own bus {pair.Key.Own} no more since {findings.Moment(last)}"
                            : $"{message.Definition.Name} came on bus {pair.Key.Other}, {track.Frames} times, and never on its own bus {pair.Key.Own}")
                    {
                        At = track.First,
                        Until = track.Last,
                        Frame = track.Numbers?.Earliest,
                        UntilFrame = track.Numbers?.Latest,
                        Count = track.Frames,
                    });
                }

                continue;
            }

            var messages = pair.Select(entry => entry.Key).ToList();

            messages.ForEach(message => findings.Weigh(message, session.Needs.SeverityOf(message.Definition)));
            findings.Add(new Finding(
                FindingCodes.WrongBus,
                messages.Max(message => session.Needs.SeverityOf(message.Definition)),
                $"{messages.Count} messages of bus {pair.Key.Own} {(pair.Key.HasMoved ? "moved to" : "came on")} bus {pair.Key.Other} instead, {messages[0].Definition.Name} among them: were the two swapped?")
            {
                Bus = pair.Key.Own,
                Modules = NameList.Modules(messages),
                At = pair.Min(entry => entry.Value.First),
                Until = pair.Max(entry => entry.Value.Last),
                Frame = pair.Min(entry => entry.Value.Numbers?.Earliest),
                UntilFrame = pair.Max(entry => entry.Value.Numbers?.Latest),
                Count = messages.Count,
            });
        }
    }

    // Of a bus that is not there by its name nothing can be judged, whether it came or not; and a name is no fault of the car.
    private void Rename(FindingList findings, string own, BusTrack other)
    {
        var expected = ExpectedOf(own).ToList();
        var came = found.Where(entry => session.Places.BusOf(entry.Key) == own && entry.Value.Bus == other).ToList();
        expected.ForEach(message => findings.Weigh(message, FindingSeverity.Warning));
        findings.Add(new Finding(
            FindingCodes.WrongBus,
            FindingSeverity.Warning,
            $"the file's {own} looks like the capture's {other.Bus.Name}: rename it under buses, or, where each bus has a capture of its own, write {own}=CAPTURE. Nothing of it is judged. Messages that came there: {came.Count} of {expected.Count}, {came[0].Key.Definition.Name} among them")
        {
            Bus = own,
            Modules = NameList.Modules(expected),
            At = came.Min(entry => entry.Value.First),
            Until = came.Max(entry => entry.Value.Last),
            Frame = came.Min(entry => entry.Value.Numbers?.Earliest),
            UntilFrame = came.Max(entry => entry.Value.Numbers?.Latest),
            Count = came.Count,
        });
    }
}
