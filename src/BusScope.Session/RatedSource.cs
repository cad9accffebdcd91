using BusScope.Frames;

namespace BusScope.Session;

/// <summary>A source whose buses have the bit rates that are known of them, whether or not it states them itself.</summary>
/// <param name="source">The source; disposed with this one.</param>
/// <param name="rates">Bit rates of buses.</param>
public sealed class RatedSource(IFrameSource source, BusRates rates) : SourceAround(source)
{
    private readonly List<Bus> buses = [];

    /// <inheritdoc/>
    public override IReadOnlyList<Bus> Buses
    {
        get
        {
            while (buses.Count < Inner.Buses.Count)
            {
                buses.Add(rates.Complete(Inner.Buses[buses.Count]));
            }

            return buses;
        }
    }
}
