using BusScope.Frames;

namespace BusScope.Session;

/// <summary>A source whose buses have the bit rates that are known of them, whether or not it states them itself.</summary>
/// <param name="source">The source; disposed with this one.</param>
/// <param name="rates">Bit rates of buses.</param>
public sealed class RatedSource(IFrameSource source, BusRates rates) : SourceAround(source)
{
    private readonly ChangedBuses buses = new((bus, _) => rates.Complete(bus));

    /// <inheritdoc/>
    public override IReadOnlyList<Bus> Buses => buses.Of(Inner.Buses);
}
