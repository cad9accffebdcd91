using BusScope.Demo.Senders;

namespace BusScope.Demo.Stories;

/// <summary>All stories, staged.</summary>
internal static class StoryPlans
{
    /// <summary>In the order in which they are listed.</summary>
    public static IReadOnlyList<StoryPlan> All { get; } =
    [
        new(new("healthy", "A healthy drive",
            "The Dunlin with its old engine controller's voice complete: key on, start, a minute of driving, key off.",
            "GO for every module."), Scripts.HealthyDrive),

        new(new("swapped", "The same drive after the swap",
            "The translator speaks for the engine controller, but not yet well: eight of its messages are wrong in eight ways.",
            "NO-GO for climate, brake control, transmission, body, cluster and steering, each with its message; GO for the others."), Scripts.HealthyDrive)
        {
            Faults =
            [
                new MessageFault.Absent("EngineCooling"),
                new MessageFault.CounterFrozen("EngineTorque"),
                new MessageFault.ChecksumWrong("PedalPosition"),
                new MessageFault.Unavailable("EngineDisplay", "DisplayOilTemp"),
                new MessageFault.TooSlow("StarterStatus", 15),
                // Degrees Fahrenheit where the car expects degrees Celsius.
                new MessageFault.WrongScale("EngineTemperatures", "CoolantTemperature", 1.8, 32),
                new MessageFault.WrongLength("EngineIdentity", 6),
                // A left-over of the translator's first set-up, when no brake module was on its bench.
                new MessageFault.SecondSender("VehicleSpeed", "engine-controller"),
            ],
        },

        new(new("good-start", "A good start",
            "Key on, brake pressed, start: the engine runs after less than a second of cranking.",
            "All messages are there. The start sequence in the definition files is read and not judged yet."), Scripts.Start),

        new(new("no-start-key", "No start: the key is not recognised",
            "The keyless entry does not know the key, the immobiliser stays locked, the starter never turns.",
            "All messages are there; their content says no: KeyRecognised, Immobiliser, StartInhibit."), Scripts.Start)
        {
            Condition = new() { KeyIsKnown = false },
        },

        new(new("no-start-sensor", "No start: it cranks without engine speed",
            "The starter turns the engine, but the crank sensor's plug is off: no speed, no synchronisation, no spark.",
            "CrankRelay is on and the battery sags, EngineSpeed stays at 0 and EngineSynchronous at no."), Scripts.Start)
        {
            Condition = new() { CrankSensorWorks = false },
        },

        new(new("no-start-battery", "No start: the battery is too weak",
            "The battery sags far below 9.6 V as the starter turns; modules reset, the buses fall silent and come back.",
            "BatteryVoltage below 9.6 V before the silence: the supply, not the bus."), Scripts.Start)
        {
            Condition = new() { BatteryIsWeak = true },
        },

        new(new("no-start-request", "No start: the request never reaches the translator",
            "The body module asks for a start, but its message does not arrive on the chassis bus; the relay never closes.",
            "StartRequest is missing; everything else is there."), Scripts.Start)
        {
            Condition = new() { StartRequestArrives = false },
            Faults = [new MessageFault.Absent("StartRequest")],
        },

        new(new("launch", "A launch with wheel spin",
            "Brake and accelerator together, then the brake is let go: the driven wheels spin through first gear.",
            "Rear wheels far faster than the front ones for more than a second, then grip."), Scripts.Launch)
        {
            Condition = new() { Coolant = 86 },
        },

        new(new("unacknowledged", "A sender whom nobody acknowledges",
            "The translator's plug to the race bus is off, so the standalone controller is alone there and repeats its first frame for ever.",
            "Sixteen error reports, then one frame over and over at nearly full bus load, which nobody acknowledges; the engine's values elsewhere are not available."), Scripts.KeyOnly)
        {
            Condition = new() { RacePlugIsIn = false },
            LoneBus = "race",
        },

        new(new("j1939", "Another machine: SAE J1939",
            "The same drive as a machine tells it that speaks SAE J1939: extended identifiers, parameter groups, one active fault.",
            "Well-known parameters decoded, unused ones not available, one active fault: SPN 110, failure mode 3.")
        {
            DefinitionFiles = Network.Machine.Files,
        }, Scripts.HealthyDrive)
        {
            Network = Network.Machine,
        },

        new(new("obd", "At the diagnosis socket",
            "A tester asks the engine controller for one parameter after the other while the Dunlin is driven.",
            "Each answer decoded by its parameter number.")
        {
            DefinitionFiles = Network.Diagnosis.Files,
        }, Scripts.HealthyDrive)
        {
            Network = Network.Diagnosis,
        },
    ];

    /// <summary>The story of a name, or null.</summary>
    public static StoryPlan? Find(string name) => All.FirstOrDefault(p => p.Story.Name == name);
}
