using BusScope.Frames;

namespace BusScope.Transport.Records;

/// <summary>What packets of one interface are: their link type and the bus they belong to.</summary>
internal sealed class Link(LinkType type, string name, BusTable buses)
{
    private const int NoBus = -1;

    private readonly Dictionary<uint, int> byInterface = [];

    /// <summary>The link type.</summary>
    public LinkType Type => type;

    /// <summary>The index of the bus, or -1.</summary>
    public int Bus { get; private set; } = NoBus;

    /// <summary>The name of the interface.</summary>
    public string Name => name;

    /// <summary>Whether the interface can hold CAN frames at all.</summary>
    public bool CanHoldFrames => type is LinkType.Can or LinkType.Cooked or LinkType.Cooked2;

    /// <summary>Makes this interface a bus.</summary>
    /// <returns>False when there is no room for another bus.</returns>
    public bool Join(Bus bus)
    {
        Bus = buses.Add(bus);
        return Bus != NoBus;
    }

    /// <summary>The same link among the buses of another reader, which has taken over those of this one.</summary>
    public Link For(BusTable others)
    {
        var copy = new Link(type, name, others) { Bus = Bus };
        foreach (var (number, bus) in byInterface)
        {
            copy.byInterface.Add(number, bus);
        }

        return copy;
    }

    /// <summary>
    /// The bus of a cooked packet. Cooked interfaces become buses only when a CAN frame comes, because the same capture holds
    /// other networks too; the second form tells the kernel's interfaces apart by number.
    /// </summary>
    public int CookedBus(uint interfaceNumber)
    {
        if (type == LinkType.Cooked)
        {
            return Bus == NoBus ? Bus = buses.Add(new Bus(name)) : Bus;
        }

        if (!byInterface.TryGetValue(interfaceNumber, out var index))
        {
            index = byInterface.Count < BusTable.Limit ? buses.Add(new Bus($"{name}.{interfaceNumber}")) : NoBus;
            if (index != NoBus)
            {
                byInterface.Add(interfaceNumber, index);
            }
        }

        return index;
    }
}
