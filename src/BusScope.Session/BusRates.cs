using BusScope.Frames;
using BusScope.Signals.Definitions;

namespace BusScope.Session;

/// <summary>
/// The bit rates of buses, known in this one place: what the source states counts most, then what a person typed, then the definitions.
/// Arbitration and data phase are looked up each by itself.
/// </summary>
/// <param name="typed">Bits per second, and those of the data phase where they were typed, by name of bus; the empty name stands for every bus.</param>
/// <param name="definitions">Definitions that may name buses.</param>
public sealed class BusRates(IReadOnlyDictionary<string, (long Rate, long? Data)> typed, DefinitionSet definitions)
{
    /// <summary>The rates of a bus whose source states none, by its name; each null where nobody names one.</summary>
    public (long? Rate, long? Data) Of(string bus)
    {
        var defined = definitions.Buses.FirstOrDefault(each => each.Name == bus);
        return typed.TryGetValue(bus, out var rates) || typed.TryGetValue("", out rates)
            ? (rates.Rate, rates.Data ?? defined?.DataBitRate)
            : (defined?.BitRate, defined?.DataBitRate);
    }

    /// <summary>The bus with the rates that its source does not state, where they are known.</summary>
    public Bus Complete(Bus bus)
    {
        ArgumentNullException.ThrowIfNull(bus);
        var (rate, data) = Of(bus.Name);
        return bus with { BitRate = bus.BitRate ?? rate, DataBitRate = bus.DataBitRate ?? data };
    }
}
