namespace BusScope.Health.Tracking;

/// <summary>
/// Which bus of the source a message is expected on. A definition file and a source need not call a bus by the same name: the only
/// bus of a source is the one that is meant, and a message that names none may come on any.
/// </summary>
/// <param name="messages">In the order of the definitions.</param>
/// <param name="buses">In the order of the source, as far as they are known by now.</param>
/// <param name="tracks">The identifiers met by now.</param>
internal sealed class MessagePlaces(IReadOnlyList<DefinedMessage> messages, List<BusTrack> buses, List<MessageTrack> tracks)
{
    // The buses that messages name, each once.
    private readonly string[] named = [.. messages.Select(message => message.Definition.Bus).OfType<string>().Distinct(StringComparer.Ordinal)];
    private string? standsFor;
    private (int Buses, int Tracks) standsForAt = (-1, -1);

    /// <summary>The same for copies of all.</summary>
    public MessagePlaces For(IReadOnlyList<DefinedMessage> otherMessages, List<BusTrack> otherBuses, List<MessageTrack> otherTracks) =>
        new(otherMessages, otherBuses, otherTracks) { standsFor = standsFor, standsForAt = standsForAt };

    /// <summary>The name of the bus on which a message is expected: its own, or the only one there is; empty where it may come on any of several.</summary>
    public string BusOf(DefinedMessage message)
    {
        var name = message.Definition.Bus;
        return buses.Count == 1 && (name is null || OnlyBusStandsFor == name) ? buses[0].Bus.Name : name ?? "";
    }

    /// <summary>Whether a message names no bus and the source has several: it may come on any of them, and on one is enough.</summary>
    public bool MayComeOnAny(DefinedMessage message) => message.Definition.Bus is null && buses.Count > 1;

    /// <summary>
    /// The bus on which a message is expected, or null where the source does not have it. Of several on which it may come, the one
    /// that spoke last: only when that is silent can none of them have brought it.
    /// </summary>
    public BusTrack? TrackOf(DefinedMessage message)
    {
        if (MayComeOnAny(message))
        {
            return buses.MaxBy(bus => bus.Latest);
        }

        var name = BusOf(message);
        return buses.Find(bus => bus.Bus.Name == name);
    }

    /// <summary>The messages of which something is expected on a bus at the moment, or was when it had fallen silent.</summary>
    public IEnumerable<DefinedMessage> ExpectedOn(BusTrack bus)
    {
        var silentSince = bus.Latest + bus.PauseTime;
        return bus.Tracks.Where(track => track.Expectation?.HoldsBeyond(silentSince) == true).Select(track => track.Defined!)
            .Concat(UnseenOn(bus).Where(message => message.Unseen!.HoldsBeyond(silentSince)));
    }

    /// <summary>The messages of a bus that are awaited and did not come yet.</summary>
    public IEnumerable<DefinedMessage> UnseenOn(BusTrack bus) => messages.Where(message => message.Unseen is not null && BusOf(message) == bus.Bus.Name);

    /// <summary>Those that may come on any of several buses.</summary>
    public IEnumerable<DefinedMessage> UnseenOnAny() => messages.Where(message => message.Unseen is not null && MayComeOnAny(message));

    /// <summary>What is expected on a bus can be seen only while that is recorded; what may come on any, since all are.</summary>
    public void Record(BusTrack bus)
    {
        foreach (var expectation in bus.Tracks.Select(track => track.Expectation).Concat(UnseenOn(bus).Select(message => message.Unseen)))
        {
            expectation?.Record(bus.RecordedFrom, bus.RecordedUntil);
        }

        foreach (var message in UnseenOnAny())
        {
            message.Unseen!.Record(buses.Max(each => each.RecordedFrom), null);
        }
    }

    /// <summary>The buses of which messages are defined and that the source does not have.</summary>
    public IEnumerable<string> AbsentBuses()
    {
        var only = OnlyBusStandsFor;
        return named.Where(name => name != only && !buses.Exists(bus => bus.Bus.Name == name));
    }

    /// <summary>The defined bus whose messages came on the only bus there is, whatever that is called; null where there are more.</summary>
    private string? OnlyBusStandsFor
    {
        get
        {
            if (standsForAt != (buses.Count, tracks.Count))
            {
                standsForAt = (buses.Count, tracks.Count);
                standsFor = buses.Count == 1 ? NameOfOnlyBus() : null;
            }

            return standsFor;
        }
    }

    private string? NameOfOnlyBus()
    {
        return named.Contains(buses[0].Bus.Name)
            ? buses[0].Bus.Name
            : named.MaxBy(name => messages.Count(message => message.Definition.Bus == name && message.Tracks.Count > 0));
    }
}
