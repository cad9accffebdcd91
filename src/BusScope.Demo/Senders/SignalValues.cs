namespace BusScope.Demo.Senders;

/// <summary>Where each signal of the Dunlin gets its physical value from, by the signal's name (unique over the three buses).</summary>
internal static class SignalValues
{
    /// <summary>Numbers.</summary>
    public static IReadOnlyDictionary<string, Func<Reading, double>> Numbers { get; } = new Dictionary<string, Func<Reading, double>>(
        [.. ChassisValues.All, .. CabinValues.All, .. RaceValues.All]);

    /// <summary>Texts.</summary>
    public static IReadOnlyDictionary<string, string> Texts { get; } = new Dictionary<string, string> { ["EngineIdentity"] = "DNLN-2.0" };
}
