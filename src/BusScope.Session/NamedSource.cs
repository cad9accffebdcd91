using BusScope.Frames;
using BusScope.Frames.Diagnostics;

namespace BusScope.Session;

/// <summary>A source whose bus a person named: <c>chassis=FILE</c>. A source of several buses keeps their names behind the given one.</summary>
/// <param name="source">The source; disposed with this one.</param>
/// <param name="busName">The name of its bus.</param>
public sealed class NamedSource(IFrameSource source, string busName) : IFrameSource
{
    private readonly List<Bus> buses = [];

    /// <inheritdoc/>
    public string Name => source.Name;

    /// <summary>The only bus under the given name; a second one and any further as <c>NAME.BUS</c>.</summary>
    public IReadOnlyList<Bus> Buses
    {
        get
        {
            while (buses.Count < source.Buses.Count)
            {
                var bus = source.Buses[buses.Count];
                buses.Add(bus with { Name = buses.Count == 0 ? busName : $"{busName}.{bus.Name}" });
            }

            return buses;
        }
    }

    /// <inheritdoc/>
    public ProblemLog Problems => source.Problems;

    /// <inheritdoc/>
    public double? Progress => source.Progress;

    /// <inheritdoc/>
    public SourceClock Clock => source.Clock;

    /// <inheritdoc/>
    public ControllerStatus? StatusOf(int bus) => source.StatusOf(bus);

    /// <inheritdoc/>
    public SourceState Read(FrameBatch batch, CancellationToken cancellation) => source.Read(batch, cancellation);

    /// <inheritdoc/>
    public void Dispose() => source.Dispose();
}
