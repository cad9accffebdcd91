namespace BusScope.Demo.Senders;

/// <summary>Where each signal gets its physical value from, by the signal's name.</summary>
internal static class SignalValues
{
    /// <summary>Numbers of the Dunlin; names are unique over its three buses.</summary>
    public static IReadOnlyDictionary<string, Func<Reading, double>> Dunlin { get; } = Table([.. ChassisValues.All, .. CabinValues.All, .. RaceValues.All]);

    /// <summary>Numbers of the machine.</summary>
    public static IReadOnlyDictionary<string, Func<Reading, double>> Machine { get; } = Table(MachineValues.All);

    /// <summary>Numbers at the diagnosis socket.</summary>
    public static IReadOnlyDictionary<string, Func<Reading, double>> Diagnosis { get; } = Table(DiagnosisValues.All);

    /// <summary>Texts.</summary>
    public static IReadOnlyDictionary<string, string> Texts { get; } = new Dictionary<string, string> { ["EngineIdentity"] = "DNLN-2.0" };

    private static Dictionary<string, Func<Reading, double>> Table(IEnumerable<KeyValuePair<string, Func<Reading, double>>> values) => new(values);
}
