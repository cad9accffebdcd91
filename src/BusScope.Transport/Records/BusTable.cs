using BusScope.Frames;

namespace BusScope.Transport.Records;

/// <summary>The buses of a capture by name: one name is one bus, however often the file describes it.</summary>
internal sealed class BusTable
{
    /// <summary>The most buses that a capture may have; a file that describes more is hostile or broken.</summary>
    public const int Limit = 4096;

    private readonly List<Bus> buses = [];
    private readonly List<long> lost = [];
    private readonly Dictionary<string, int> byName = new(StringComparer.Ordinal);

    /// <summary>The buses, in the order in which they were met.</summary>
    public IReadOnlyList<Bus> All => buses;

    /// <summary>Takes over all that another table knows. Only while this one is empty.</summary>
    public void TakeOver(BusTable other)
    {
        foreach (var bus in other.buses)
        {
            _ = Add(bus);
        }

        lost.AddRange(other.lost);
    }

    /// <summary>Frames of a bus that its recorder says it lost.</summary>
    public long LostOf(int bus) => bus < lost.Count ? lost[bus] : 0;

    /// <summary>Counts frames that the recorder says it lost.</summary>
    public void Lose(int bus, long count)
    {
        while (lost.Count <= bus)
        {
            lost.Add(0);
        }

        lost[bus] += count;
    }

    /// <summary>The index of the bus of this name, added where it is new and completed where it is known; -1 when there is no room.</summary>
    public int Add(Bus bus)
    {
        if (byName.TryGetValue(bus.Name, out var index))
        {
            var known = buses[index];
            buses[index] = known with
            {
                BitRate = known.BitRate ?? bus.BitRate,
                DataBitRate = known.DataBitRate ?? bus.DataBitRate,
                Description = known.Description ?? bus.Description,
                Comments = bus.Comments.All(known.Comments.Contains) ? known.Comments : [.. known.Comments.Union(bus.Comments)],
            };
            return index;
        }

        if (buses.Count == Limit)
        {
            return -1;
        }

        byName.Add(bus.Name, buses.Count);
        buses.Add(bus);
        return buses.Count - 1;
    }
}
