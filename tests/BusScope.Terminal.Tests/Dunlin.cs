using BusScope.Frames;
using BusScope.Frames.Diagnostics;
using BusScope.Health;
using BusScope.Session;
using BusScope.Session.Replay;
using BusScope.Signals.Definitions;
using BusScope.Signals.Plans;
using BusScope.TestKit;

namespace BusScope.Terminal.Tests;

/// <summary>A hand-made moment of the invented car: what a session would say after 42 seconds.</summary>
internal static class Dunlin
{
    private static readonly FrameTime Start = new(1_700_000_000L * FrameSpan.NanosecondsPerSecond);

    private static readonly (string Name, string Title)[] ModuleNames =
    [
        ("translator", "Engine translator"), ("transmission", "Transmission"), ("brakes", "Brake control"), ("steering", "Steering"),
        ("airbag", "Airbag"), ("cluster", "Instrument cluster"), ("body", "Body"), ("climate", "Climate"), ("entry", "Keyless entry"),
        ("door-left", "Door left"), ("door-right", "Door right"),
    ];

    private static readonly MessageDefinition[] MessageDefinitions =
    [
        Message("EngineSpeed", 0x0C8, "chassis", "translator", 10, ["transmission", "cluster", "climate"],
            Signal("EngineSpeed", 0, 16, 0.25, "rpm", 0, 9000), Signal("CoolantTemp", 2, 8, 1, "°C", -40, 150, -40), Signal("Gear", 5, 4, 1, null, null, null, 0, (0, "park"), (3, "drive"))),
        Message("EngineTorque", 0x0D1, "chassis", "translator", 10, ["transmission", "brakes"],
            Signal("TorqueActual", 0, 16, 0.5, "Nm", -100, 600), Signal("TorqueRequest", 2, 16, 0.5, "Nm", -100, 600)),
        Message("WheelSpeeds", 0x130, "chassis", "brakes", 20, ["cluster", "transmission", "steering"],
            Signal("WheelFrontLeft", 0, 16, 0.0625, "km/h", 0, 300), Signal("WheelFrontRight", 2, 16, 0.0625, "km/h", 0, 300),
            Signal("WheelRearLeft", 4, 16, 0.0625, "km/h", 0, 300), Signal("WheelRearRight", 6, 16, 0.0625, "km/h", 0, 300)),
        Message("GearState", 0x1A0, "chassis", "transmission", 20, ["cluster", "translator"]),
        Message("KeyPosition", 0x210, "cabin", "entry", 100, ["body", "cluster", "door-left", "door-right"]),
        Message("CabinTemp", 0x2B4, "cabin", "climate", 500, ["climate"]),
        Message("AirbagState", 0x050, "chassis", "airbag", 100, ["cluster", "body"]),
        Message("DoorCommand", 0x3C1, "cabin", "body", 200, ["door-left", "door-right"]),
    ];

    public static DefinitionSet Definitions { get; } = new()
    {
        Modules = [.. ModuleNames.Select(name => new ModuleDefinition { Name = name.Name, GivenTitle = name.Title })],
        Messages = MessageDefinitions,
    };

    public static FrameTime At(double seconds) => Start + FrameSpan.FromSeconds(seconds);

    /// <summary>After the swap: torque never came, the wheel speeds fell silent, the gear is late.</summary>
    public static SessionSnapshot Faulty { get; } = Snapshot(
        "demo:swapped",
        Verdict.NoGo,
        new() { ["EngineTorque"] = (MessageState.Missing, 0), ["WheelSpeeds"] = (MessageState.Stale, 3.2), ["GearState"] = (MessageState.Late, 0.065) });

    /// <summary>The same as a recording of a minute that was read ahead, with marks behind and ahead.</summary>
    public static SessionSnapshot Surveyed { get; } = Faulty with
    {
        Survey = new RecordingSurvey
        {
            IsOver = true,
            Progress = 1,
            Stretches = [new RecordedStretch(Start, At(60))],
            Findings =
            [
                new Finding("message-missing", FindingSeverity.Fault, "EngineTorque on chassis never came") { At = At(5) },
                new Finding("message-stale", FindingSeverity.Fault, "WheelSpeeds on chassis fell silent") { At = At(38.9) },
                new Finding("bus-errors", FindingSeverity.Warning, "errors on bus cabin") { At = At(20.5) },
                new Finding("bus-silent", FindingSeverity.Fault, "bus chassis fell silent") { At = At(55) },
                new Finding("module-needs-nothing", FindingSeverity.Note, "nothing is known that airbag needs"),
            ],
        },
        Marks = [new SessionEvent(At(30), "mark: key turned", FindingSeverity.Note) { IsMark = true }, new SessionEvent(At(50), "mark", FindingSeverity.Note) { IsMark = true }],
    };

    /// <summary>Before the swap.</summary>
    public static SessionSnapshot Healthy { get; } = Snapshot("demo:healthy", Verdict.Go, []) with { Events = [] };

    /// <summary>Every message comes in time, and three of them say what they must not.</summary>
    public static SessionSnapshot Wrong { get; } = Healthy with
    {
        Source = "demo:wrong",
        Health = Healthy.Health with
        {
            Verdict = Verdict.NoGo,
            Modules = [.. Healthy.Health.Modules.Select(module => module.Definition.Name is "transmission" or "brakes" ? module with { Verdict = Verdict.NoGo } : module)],
            Messages = [.. Healthy.Health.Messages.Select(message => message.Definition?.Name switch
            {
                "EngineTorque" => message with { Worst = FindingSeverity.Fault },
                "EngineSpeed" => message with { Worst = FindingSeverity.Warning, Period = message.Period with { Median = FrameSpan.FromMilliseconds(20) } },
                _ => message,
            })],
            Findings =
            [
                new Finding("checksum-wrong", FindingSeverity.Fault, "EngineTorque had a wrong checksum in 4200 of 4200 frames, first at 0 s") { Bus = "chassis", Message = "EngineTorque", Modules = ["transmission", "brakes"], At = At(0) },
                new Finding("counter-repeated", FindingSeverity.Fault, "EngineTorque had a counter that stood still in 4199 of 4200 frames, first at 0.01 s") { Bus = "chassis", Message = "EngineTorque", Modules = ["transmission", "brakes"], At = At(0.01) },
                new Finding("message-too-slow", FindingSeverity.Warning, "EngineSpeed comes every 20 ms instead of every 10 ms") { Bus = "chassis", Message = "EngineSpeed", Modules = ["transmission", "cluster", "climate"] },
            ],
        },
    };

    /// <summary>The car before the swap on three live adapters: one as it should be, one in trouble, one taken away.</summary>
    public static SessionSnapshot Live { get; } = Healthy with
    {
        Source = "chassis=can0 cabin=can1 race=can2",
        Progress = null,
        Speed = null,
        Buses = [new Bus("chassis"), new Bus("cabin"), new Bus("race") { BitRate = 1_000_000 }],
        Controllers =
        [
            new ControllerStatus(ControllerState.ErrorActive) { Since = Start, IsListenOnly = true, BitRate = 500_000, DataBitRate = 2_000_000, TransmitErrors = 0, ReceiveErrors = 3 },
            new ControllerStatus(ControllerState.ErrorPassive) { Since = At(31), IsListenOnly = false, BitRate = 125_000, TransmitErrors = 104, ReceiveErrors = 129, TimesBusOff = 2, LostFrames = 1_234 },
            new ControllerStatus(ControllerState.Gone) { Since = At(35.5) },
        ],
    };

    /// <summary>One second after another of live buses, so that there is a history: the load swings, an error comes now and then.</summary>
    public static IEnumerable<SessionSnapshot> Seconds(int count)
    {
        for (var second = 1; second <= count; second++)
        {
            var swing = 50 + (45 * Math.Sin(second / 6.0));
            var health = Live.Health;
            yield return Live with
            {
                Number = 100 + second,
                Health = health with
                {
                    Now = At(42 + second),
                    Buses =
                    [
                        health.Buses[0] with { Frames = 28_000 + (second * 2_700), LoadNow = swing, LoadPeak = 95, Last = At(42 + second) },
                        health.Buses[1] with { Frames = 3_415 + (second * 81), ErrorFrames = 12 + (second / 2), Last = At(42 + second), Silences = 1, LongestSilence = FrameSpan.FromSeconds(4.5) },
                        health.Buses[2] with { Silences = 1, LongestSilence = FrameSpan.FromSeconds(second + 6.5) },
                    ],
                },
            };
        }
    }

    /// <summary>A recording of a car that nobody documents.</summary>
    public static SessionSnapshot Undocumented { get; } = new(
        new HealthReport(Verdict.Inconclusive)
        {
            First = Start,
            Now = At(42),
            Frames = 31_415,
            Buses = Buses(),
            Messages = [.. Enumerable.Range(0, 30).Select(Unknown)],
        },
        new DefinitionPlan(DefinitionSet.Empty))
    { Number = 7, Source = "captures/unknown-car.pcapng", Progress = 0.4, Speed = 2 };

    /// <summary>The engine speed with a counter and a checksum, and where all of it is defined.</summary>
    public static SessionSnapshot Guarded { get; } = Redefined(Healthy, MessageDefinitions[0] with
    {
        Counter = new CounterDefinition(new BitField(new BitPosition(6, 3), 4, ByteOrder.Big)) { Modulo = 14 },
        Checksum = new ChecksumDefinition(ChecksumFamily.Xor, new BitField(new BitPosition(7, 7), 8, ByteOrder.Big)) { Algorithm = "xor", Over = [new ByteRange(0, 6)], Final = 0xE9 },
        Place = new TextPlace("signal-defs/dunlin-chassis.yaml", 34, 3),
    });

    /// <summary>A CAN FD message of 64 bytes that nobody documents.</summary>
    public static SessionSnapshot Long { get; } = Undocumented with
    {
        Health = Undocumented.Health with
        {
            Messages = [Unknown(0) with { Payload = Enumerable.Range(0, 64).Select(i => (byte)(i * 37)).ToArray(), ChangedBits = new byte[64], ChangedAt = ReadOnlyMemory<FrameTime>.Empty }],
        },
    };

    private static SessionSnapshot Redefined(SessionSnapshot snapshot, MessageDefinition definition) => new(
        snapshot.Health with { Messages = [snapshot.Health.Messages[0] with { Definition = definition }, .. snapshot.Health.Messages.Skip(1)] },
        new DefinitionPlan(Definitions with { Messages = [definition, .. MessageDefinitions.Skip(1)] }))
    {
        Number = snapshot.Number,
        Source = snapshot.Source,
        Progress = snapshot.Progress,
        Speed = snapshot.Speed,
    };

    private static MessageHealth Unknown(int number)
    {
        byte[] payload = [(byte)(number * 7), 0x10, (byte)(number + 0x80), 0, 0, 0xFF, (byte)(number * 31), 0x34];
        return new MessageHealth
        {
            Bus = number < 20 ? "chassis" : "cabin",
            Id = new CanId((uint)(0x0C8 + (number * 17)), false),
            Frames = 4_200 / (number + 1),
            First = Start,
            Last = At(42 - (0.004 * (number + 1))),
            Period = new PeriodFigures { Median = FrameSpan.FromMilliseconds(10 * (number + 1)), Longest = FrameSpan.FromMilliseconds(14 * (number + 1)) },
            Payload = payload,
            ChangedBits = new byte[] { 0xFF, 0, 0x0F, 0, 0, 0, (byte)(number % 3 == 0 ? 0xFF : 0), 0 },
            ChangedAt = new[] { At(41.9), FrameTime.Never, At(30), FrameTime.Never, FrameTime.Never, FrameTime.Never, number % 3 == 0 ? At(41.8) : FrameTime.Never, FrameTime.Never },
        };
    }

    private static SessionSnapshot Snapshot(string source, Verdict verdict, Dictionary<string, (MessageState State, double Age)> faults)
    {
        var messages = MessageDefinitions.Select((definition, index) => Health(definition, index, faults)).Append(Unknown(3) with { Bus = "race" }).ToArray();
        return new SessionSnapshot(
            new HealthReport(verdict)
            {
                First = Start,
                Now = At(42),
                Frames = 31_415,
                Buses = Buses(),
                Messages = messages,
                Modules = [.. Definitions.Modules.Select(module => Module(module, messages))],
            },
            new DefinitionPlan(Definitions))
        {
            Number = 7,
            Source = source,
            Progress = 0.7,
            Speed = 1,
            Events =
            [
                new SessionEvent(At(5), "EngineTorque on chassis is missing: never seen", FindingSeverity.Fault) { Bus = "chassis", DefinitionIndex = 1 },
                new SessionEvent(At(5), "Transmission: NO-GO", FindingSeverity.Fault) { Module = "transmission" },
                new SessionEvent(At(12.25), "0x0FB on race appeared", FindingSeverity.Note) { Bus = "race", Id = new CanId(0x0FB, false) },
                new SessionEvent(At(20.5), "first error report on bus cabin", FindingSeverity.Warning) { Bus = "cabin" },
                new SessionEvent(At(38.9), "WheelSpeeds on chassis went stale", FindingSeverity.Fault) { Bus = "chassis", DefinitionIndex = 2 },
            ],
        };
    }

    private static BusHealth[] Buses() =>
    [
        new("chassis") { Frames = 28_000, Identifiers = 20, LoadNow = 47.3, LoadMean = 46.8, LoadPeak = 52.8, Last = At(42) },
        new("cabin") { Frames = 3_415, Identifiers = 11, LoadNow = 12.4, LoadMean = 12.6, LoadPeak = 15.1, Last = At(41.99), ErrorFrames = 12 },
        new("race") { Frames = 0, IsSilent = true, Last = At(35.5) },
    ];

    private static ModuleHealth Module(ModuleDefinition module, MessageHealth[] messages)
    {
        var needed = Enumerable.Range(0, messages.Length).Where(i => messages[i].Definition?.NeededBy.Contains(module.Name) ?? false).ToArray();
        var states = new int[6];
        foreach (var i in needed)
        {
            states[(int)messages[i].State!.Value]++;
        }

        int? worst = needed.Length == 0 ? null : needed.MaxBy(i => (int)messages[i].State!.Value);
        var starves = states[(int)MessageState.Stale] + states[(int)MessageState.Missing] > 0;
        return new ModuleHealth(module, needed.Length == 0 ? Verdict.Inconclusive : starves ? Verdict.NoGo : Verdict.Go) { States = states, Worst = worst, Alive = module.Name == "airbag" ? MessageState.Stale : MessageState.Fresh };
    }

    private static MessageHealth Health(MessageDefinition definition, int index, Dictionary<string, (MessageState State, double Age)> faults)
    {
        var every = definition.Timing.Every!.Value;
        var (state, age) = faults.TryGetValue(definition.Name, out var fault) ? fault : (MessageState.Fresh, every.Seconds * 0.4);
        var isMissing = state == MessageState.Missing;
        return new MessageHealth
        {
            Bus = definition.Bus!,
            Id = ((MessageKey.Identifier)definition.Key).Id,
            Definition = definition,
            DefinitionIndex = index,
            State = state,
            Frames = isMissing ? 0 : (long)(42 / every.Seconds),
            First = isMissing ? null : Start,
            Last = isMissing ? null : At(42 - age),
            Period = isMissing ? new() : new() { Median = every, P05 = every * 0.97, P95 = every * 1.04, Longest = every * 1.3 },
            Payload = isMissing ? default(ReadOnlyMemory<byte>) : Some.Bytes("0F A0 7B 00 00 03 0A 34"),
            ChangedBits = isMissing ? default(ReadOnlyMemory<byte>) : Some.Bytes("0F FF 03 00 00 00 0F FF"),
            ChangedAt = isMissing ? default : new[] { At(41.9), At(41.99), At(40), FrameTime.Never, FrameTime.Never, FrameTime.Never, At(41.99), At(41.99) },
            ChecksumBad = definition.Name == "EngineSpeed" ? 3 : 0,
            Senders = isMissing ? 0 : 1,
            Worst = state is MessageState.Stale or MessageState.Missing ? FindingSeverity.Fault : null,
        };
    }

    private static MessageDefinition Message(string name, uint id, string bus, string from, double every, string[] neededBy, params SignalDefinition[] signals) => new()
    {
        Name = name,
        Key = new MessageKey.Identifier(new CanId(id, false)),
        Bus = bus,
        From = from,
        NeededBy = neededBy,
        Length = 8,
        Timing = new MessageTiming { Every = FrameSpan.FromMilliseconds(every), LateAfter = FrameSpan.FromMilliseconds(every * 3), StaleAfter = FrameSpan.FromMilliseconds(every * 10) },
        Signals = signals,
    };

    private static SignalDefinition Signal(string name, int start, int bits, double scale, string? unit, double? low, double? high, double offset = 0, params (long Raw, string Name)[] values) => new()
    {
        Name = name,
        Field = new BitField(new BitPosition(start, bits == 4 ? 3 : 7), bits, ByteOrder.Big),
        Scale = scale,
        Offset = offset,
        Unit = unit,
        Minimum = low,
        Maximum = high,
        Values = [.. values.Select(value => new NamedValue(value.Raw, value.Name))],
    };
}
