using BusScope.Frames;
using BusScope.Frames.Diagnostics;
using BusScope.Health;
using BusScope.Reports;
using BusScope.Signals.Definitions;

namespace BusScope.App.Tests.Reports;

/// <summary>A report written by hand, with everything that a report can hold: what the layout and the contract are tried on.</summary>
internal static class SomeReport
{
    private static readonly ProblemKind StepsBack = new("time-steps-back", "the time of a frame lies before that of the frame before it on the same bus");

    /// <summary>A file with two buses, one of unknown bit rate, three identifiers and a problem.</summary>
    public static HealthReport Capture => new(Verdict.Inconclusive)
    {
        First = At(100),
        Now = At(160.5),
        Frames = 12_345,
        Buses =
        [
            new BusHealth("chassis") { Frames = 12_000, Identifiers = 2, LoadMean = 52.84, LoadPeak = 61.2 },
            new BusHealth("cabin\u001B[2J") { Frames = 345, Identifiers = 1, ErrorFrames = 3 },
        ],
        Messages =
        [
            Seen("chassis", 0x0C8, 6_000, 10.0125),
            Seen("chassis", 0x7E8, 1, null),
            Seen("cabin\u001B[2J", 0x18FEF100, 345, 100) with { Id = new CanId(0x18FEF100, true) },
        ],
    };

    /// <summary>A car whose cluster is starved and whose doors are well.</summary>
    public static HealthReport Starved
    {
        get
        {
            var speed = Expected("EngineSpeed", MessageState.Stale) with { Counter = new CounterDefinition(new BitField(new BitPosition(6, 0), 4, ByteOrder.Little)) };
            var door = Expected("DoorStatus", MessageState.Fresh);
            return Capture with
            {
                Verdict = Verdict.NoGo,
                Judged = new JudgedMessages(2, 2, 1, 0),
                Modules =
                [
                    Module("cluster", "Instrument cluster", Verdict.NoGo, MessageState.Stale, 0),
                    Module("climate", null, Verdict.NoGo, MessageState.Stale, 0),
                    Module("door-left", "Door left", Verdict.Go, MessageState.Fresh, null),
                    new ModuleHealth(new ModuleDefinition { Name = "steering" }, Verdict.Inconclusive) { States = [1, 0, 0, 0, 0, 0] },
                ],
                Messages =
                [
                    Seen("chassis", 0x0C8, 6_000, 10.0125) with
                    {
                        Definition = speed, DefinitionIndex = 0, State = MessageState.Stale, CounterRepeated = 4, CounterSkipped = 2, Senders = 1,
                    },
                    new MessageHealth { Bus = "chassis", Id = new CanId(0x1A0, false), Definition = door, DefinitionIndex = 1, State = MessageState.Awaited },
                    Seen("chassis", 0x7E8, 1, null),
                ],
                Findings =
                [
                    new Finding("message-stale", FindingSeverity.Fault, "EngineSpeed fell silent at 12.400 s and did not come back; expected every 10 ms, stale after 100 ms, and 48.1 s are missing at the end.")
                    {
                        Bus = "chassis", Message = "EngineSpeed", Modules = ["cluster", "climate"], At = At(112.4), Until = At(160.5), Count = 1,
                    },
                    new Finding("counter-repeated", FindingSeverity.Warning, "EngineSpeed repeats its counter 4 times.")
                    {
                        Bus = "chassis", Message = "EngineSpeed", Modules = ["cluster"], At = At(101), Count = 4,
                    },
                    new Finding("unknown-identifier", FindingSeverity.Note, "0x7E8 is on no list of messages.") { Bus = "chassis", Message = "0x7E8" },
                ],
            };
        }
    }

    /// <summary>What the reports are about.</summary>
    public static RunSubject Subject
    {
        get
        {
            var log = new ProblemLog();
            log.Add(StepsBack, new ProblemPlace(FrameNumber: 12, ByteOffset: 4096, Bus: "chassis"), "by 12.5 ms", 88);
            return new RunSubject("drive.pcapng") { Definitions = "signal-defs/some.yaml", Title = "Some car", Problems = log.All };
        }
    }

    private static FrameTime At(double seconds) => new(FrameSpan.FromSeconds(seconds).Nanoseconds);

    private static MessageHealth Seen(string bus, uint id, long frames, double? period) => new()
    {
        Bus = bus,
        Id = new CanId(id, false),
        Frames = frames,
        First = At(100.5),
        Last = At(160.5),
        Payload = new byte[8],
        Period = period is { } milliseconds
            ? new PeriodFigures
            {
                Median = FrameSpan.FromMilliseconds(milliseconds),
                P05 = FrameSpan.FromMilliseconds(milliseconds * 0.9),
                P95 = FrameSpan.FromMilliseconds(milliseconds * 1.1),
                Longest = FrameSpan.FromMilliseconds(milliseconds * 3),
            }
            : new PeriodFigures(),
    };

    private static MessageDefinition Expected(string name, MessageState state) => new()
    {
        Name = name,
        Key = new MessageKey.Identifier(new CanId(0x0C8, false)),
        Timing = new MessageTiming { Every = FrameSpan.FromMilliseconds(state == MessageState.Stale ? 10 : 100) },
    };

    private static ModuleHealth Module(string name, string? title, Verdict verdict, MessageState state, int? worst)
    {
        var states = new int[6];
        states[(int)state] = 3;
        return new ModuleHealth(new ModuleDefinition { Name = name, GivenTitle = title }, verdict) { States = states, Worst = worst };
    }
}
