using BusScope.Frames;
using BusScope.Signals.Definitions;
using BusScope.Signals.Plans;

namespace BusScope.Demo.Senders;

/// <summary>Under which identifier, by whom and when a message is sent.</summary>
/// <param name="Id">The identifier.</param>
/// <param name="Module">The sending module of the simulated car.</param>
/// <param name="Every">The period in s, or null for a message that is sent only on change.</param>
internal readonly record struct Sending(CanId Id, string Module, double? Every)
{
    /// <summary>From waking to the first frame in s; null for a random one.</summary>
    public double? FirstOffset { get; init; }
}

/// <summary>What talks on the buses of a story: definitions, values, senders.</summary>
internal sealed record Network
{
    private static readonly Lazy<DefinitionPlan> dunlinPlan = Compile(DemoDefinitions.DunlinFiles);
    private static readonly Lazy<DefinitionPlan> machinePlan = Compile(["j1939-basics.yaml"]);
    private static readonly Lazy<DefinitionPlan> diagnosisPlan = Compile(["obd-answers.yaml"]);

    /// <summary>The Dunlin's own three buses.</summary>
    public static Network Dunlin { get; } = new()
    {
        Buses =
        [
            new Bus("chassis") { BitRate = 500_000, Description = "simulated Dunlin" },
            new Bus("cabin") { BitRate = 125_000, Description = "simulated Dunlin" },
            new Bus("race") { BitRate = 1_000_000, Description = "simulated Dunlin" },
        ],
        Files = DemoDefinitions.DunlinFiles,
        Compiled = dunlinPlan,
        Values = SignalValues.Dunlin,
        Send = message => new Sending(((MessageKey.Identifier)message.Key).Id, message.From!, message.Timing.Every?.Seconds),
    };

    /// <summary>A machine that speaks SAE J1939.</summary>
    public static Network Machine { get; } = new()
    {
        Buses = [new Bus("machine") { BitRate = 250_000, Description = "simulated machine, SAE J1939" }],
        Files = ["j1939-basics.yaml"],
        Compiled = machinePlan,
        Values = SignalValues.Machine,
        Send = MachineValues.Send,
        // Bits that nothing defines are sent as ones (SAE J1939-71; from memory).
        Padding = 0xFF,
    };

    /// <summary>A tester that asks, and the engine controller that answers.</summary>
    public static Network Diagnosis { get; } = new()
    {
        Buses = [new Bus("diagnosis") { BitRate = 500_000, Description = "simulated Dunlin, diagnosis socket" }],
        Files = ["obd-answers.yaml"],
        Compiled = diagnosisPlan,
        Values = SignalValues.Diagnosis,
        Send = DiagnosisValues.Send,
    };

    /// <summary>In the order of the source.</summary>
    public required IReadOnlyList<Bus> Buses { get; init; }

    /// <summary>The definition files that describe it.</summary>
    public required IReadOnlyList<string> Files { get; init; }

    /// <summary>Where each signal gets its physical value from, by its name.</summary>
    public required IReadOnlyDictionary<string, Func<Reading, double>> Values { get; init; }

    /// <summary>How a message is sent.</summary>
    public required Func<MessageDefinition, Sending> Send { get; init; }

    /// <summary>What bytes and bits hold that no signal covers.</summary>
    public byte Padding { get; init; }

    /// <summary>The definitions, compiled.</summary>
    public DefinitionPlan Plan => Compiled.Value;

    private Lazy<DefinitionPlan> Compiled { get; init; } = null!;

    private static Lazy<DefinitionPlan> Compile(IReadOnlyList<string> files) => new(() => new DefinitionPlan(
        DemoDefinitions.Load(files).Definitions ?? throw new InvalidOperationException($"the built-in {files[0]} does not load")));
}
