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
        foreach (var track in session.Tracks.Where(track => track.Defined is null))
        {
            foreach (var bus in buses)
            {
                if (bus != track.Bus.Bus.Name && session.Plan.Find(bus, onlyBus: false, track.Id) is var index and >= 0
                    && lost.Contains(session.Messages[index]) && session.Messages[index].Takes(track.Length)
                    && (LastOnItsOwn(session.Messages[index]) is not { } last || track.First > last))
                {
                    found.TryAdd(session.Messages[index], track);
                }
            }
        }
    }

    // While its own bus goes on: what a silent bus brings no more did not move.
    private bool HasStopped(DefinedMessage message) =>
        message is { Definition.Bus: not null, Tracks: [{ Expectation: { } expectation } track] }
        && !session.IsSilent(track.Bus, session.Now) && expectation.StateAt(session.Now) == MessageState.Stale;

    private static FrameTime? LastOnItsOwn(DefinedMessage message) => message.Tracks.Count == 0 ? null : message.Tracks[0].Last;

    /// <summary>Whether a message came on another bus.</summary>
    public bool Claims(DefinedMessage message) => found.ContainsKey(message);

    /// <summary>
    /// Whether a bus that the source does not have came under another name: most of what is expected of it came on one other bus. A
    /// single identifier that two buses have in common says nothing about the rest.
    /// </summary>
    public bool Renames(string bus)
    {
        var expected = session.Messages.Count(message => message.Definition.Bus == bus && message.Unseen is { Holds: true });
        return found.Where(entry => entry.Key.Definition.Bus == bus).GroupBy(entry => entry.Value.Bus).Any(other => other.Count() * 2 > expected);
    }

    /// <summary>Reports what was found.</summary>
    public void Report(FindingList findings)
    {
        foreach (var pair in found.GroupBy(entry => (Own: session.Places.BusOf(entry.Key), Other: entry.Value.Bus.Bus.Name, HasMoved: entry.Key.Tracks.Count > 0)))
        {
            var isAbsent = !session.Buses.Exists(bus => bus.Bus.Name == pair.Key.Own) && Renames(pair.Key.Own);
            if (pair.Count() <= MostNamed && !isAbsent)
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

            // Of a bus that is not there by its name, nothing can be judged, whether it came or not.
            var touched = isAbsent ? session.Messages.Where(message => message.Definition.Bus == pair.Key.Own && message.Unseen is { Holds: true }).ToList() : messages;
            touched.ForEach(message => findings.Weigh(message, session.Needs.SeverityOf(message.Definition)));
            var severity = touched.Max(message => session.Needs.SeverityOf(message.Definition));
            findings.Add(new Finding(
                FindingCodes.WrongBus,
                severity,
                isAbsent
                    ? $"the file's {pair.Key.Own} looks like the capture's {pair.Key.Other}: write {pair.Key.Own}=CAPTURE, or rename it under buses. Messages that came there: {messages.Count}, {messages[0].Definition.Name} among them"
                    : $"{messages.Count} messages of bus {pair.Key.Own} {(pair.Key.HasMoved ? "moved to" : "came on")} bus {pair.Key.Other} instead, {messages[0].Definition.Name} among them: were the two swapped?")
            {
                Bus = pair.Key.Own,
                Modules = [.. touched.SelectMany(message => message.Definition.NeededBy).Distinct(StringComparer.Ordinal)],
                At = pair.Min(entry => entry.Value.First),
                Until = pair.Max(entry => entry.Value.Last),
                Frame = pair.Min(entry => entry.Value.Numbers?.Earliest),
                UntilFrame = pair.Max(entry => entry.Value.Numbers?.Latest),
                Count = messages.Count,
            });
        }
    }
}
