using BusScope.Frames;
using BusScope.Frames.Wire;
using BusScope.Signals.Definitions;

namespace BusScope.Health.Tracking;

/// <summary>What measures the load of a bus, where its bit rate is known.</summary>
internal static class LoadMeters
{
    /// <summary>A meter, or null. For the bit rate the source knows best; then the definitions; then what the user said.</summary>
    public static BusLoadMeter? Of(Bus bus, DefinitionSet definitions, MonitorOptions options)
    {
        var defined = definitions.Buses.FirstOrDefault(definition => definition.Name == bus.Name);
        var rates = options.BitRates;
        var said = rates.TryGetValue(bus.Name, out var own) ? own : rates.TryGetValue("", out var every) ? every : (long?)null;
        return options.MeasureLoad && (bus.BitRate ?? defined?.BitRate ?? said) is { } bitRate and > 0
            ? new BusLoadMeter(bitRate, (bus.DataBitRate ?? defined?.DataBitRate) is { } dataRate and > 0 ? dataRate : null)
            : null;
    }
}
