using BusScope.Frames;

namespace BusScope.Session;

/// <summary>A source whose bus a person named: <c>chassis=FILE</c>. A source of several buses keeps their names behind the given one.</summary>
/// <param name="source">The source; disposed with this one.</param>
/// <param name="busName">The name of its bus.</param>
public sealed class NamedSource(IFrameSource source, string busName) : SourceAround(source)
{
    private readonly ChangedBuses buses = new((bus, index) => bus with { Name = index == 0 ? busName : $"{busName}.{bus.Name}" });

    /// <summary>The only bus under the given name; a second one and any further as <c>NAME.BUS</c>.</summary>
    public override IReadOnlyList<Bus> Buses => buses.Of(Inner.Buses);
}
