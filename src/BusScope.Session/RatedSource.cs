using BusScope.Frames;
using BusScope.Signals.Definitions;

namespace BusScope.Session;

/// <summary>
/// A source whose buses get the bit rates that it does not know itself: from what a person said, and from the definitions.
/// </summary>
/// <param name="source">The source; disposed with this one.</param>
/// <param name="definitions">Definitions that may name its buses.</param>
/// <param name="said">Bits per second by name of bus; the empty name stands for every bus.</param>
public sealed class RatedSource(IFrameSource source, DefinitionSet definitions, IReadOnlyDictionary<string, long> said) : SourceAround(source)
{
    private readonly List<Bus> buses = [];

    /// <inheritdoc/>
    public override IReadOnlyList<Bus> Buses
    {
        get
        {
            while (buses.Count < Inner.Buses.Count)
            {
                buses.Add(Rated(Inner.Buses[buses.Count]));
            }

            return buses;
        }
    }

    private Bus Rated(Bus bus)
    {
        var defined = definitions.Buses.FirstOrDefault(each => each.Name == bus.Name);
        var rate = said.TryGetValue(bus.Name, out var own) ? own : said.TryGetValue("", out var every) ? every : (long?)null;
        return bus with
        {
            BitRate = bus.BitRate ?? rate ?? defined?.BitRate,
            DataBitRate = bus.DataBitRate ?? defined?.DataBitRate,
        };
    }
}
