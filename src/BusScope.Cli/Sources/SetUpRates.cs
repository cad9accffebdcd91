namespace BusScope.Cli.Sources;

/// <summary>The bit rates to which interfaces shall be set up.</summary>
/// <param name="Rates">Bits per second by name of bus; the empty name stands for every bus.</param>
/// <param name="Data">The same of the data phase, where CAN FD is wanted.</param>
internal sealed record SetUpRates(IReadOnlyDictionary<string, long> Rates, IReadOnlyDictionary<string, long> Data)
{
    /// <summary>The rates of a bus; null where none was named.</summary>
    public (long? Rate, long? Data) Of(string bus) => (Find(Rates, bus), Find(Data, bus));

    private static long? Find(IReadOnlyDictionary<string, long> rates, string bus) =>
        rates.TryGetValue(bus, out var own) ? own : rates.TryGetValue("", out var every) ? every : null;
}
