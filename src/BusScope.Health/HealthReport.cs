using BusScope.Frames;
using BusScope.Health.Findings;
using BusScope.Health.History;
using BusScope.Signals.Definitions;

namespace BusScope.Health;

/// <summary>One fact that a check reports: what, where, when, how often, evidence.</summary>
/// <param name="Code">Stable name, lower case with hyphens; documented in docs/health.md.</param>
/// <param name="Severity">How much it weighs.</param>
/// <param name="Text">One sentence for a person, with the figures that prove it.</param>
public sealed record Finding(string Code, FindingSeverity Severity, string Text)
{
    /// <summary>The bus, or null.</summary>
    public string? Bus { get; init; }

    /// <summary>The message's name, or its identifier where it has none; null where it is about no message.</summary>
    public string? Message { get; init; }

    /// <summary>The signal, or null.</summary>
    public string? Signal { get; init; }

    /// <summary>The modules that live on it.</summary>
    public IReadOnlyList<string> Modules { get; init; } = [];

    /// <summary>When first, or null.</summary>
    public FrameTime? At { get; init; }

    /// <summary>When last, or null.</summary>
    public FrameTime? Until { get; init; }

    /// <summary>
    /// The number of the frame in which it was seen first, counted from 1 in the order of the source; of a gap, the frame before the first
    /// one. Null where it is not known or nobody asked.
    /// </summary>
    public long? Frame { get; init; }

    /// <summary>The number of the frame in which it was seen last; of a gap, the frame that ended the last one. Null where it is not known or nobody asked.</summary>
    public long? UntilFrame { get; init; }

    /// <summary>How often.</summary>
    public long Count { get; init; } = 1;

    /// <summary>Whether it is about a whole bus, or its recording: what is found against messages may be a consequence.</summary>
    public bool IsOfTheBus => Code == FindingCodes.BusUnacknowledged || (Message is null && Bus is not null);

    /// <summary>Whether it is about a message, as it stands in a report. What came on a wrong bus is found against its own.</summary>
    public bool IsAbout(MessageHealth message)
    {
        ArgumentNullException.ThrowIfNull(message);
        return Message is not null
            && (message.Definition is { } definition ? Message == definition.Name : Message == message.Id?.ToString())
            && (Bus is null || Bus == message.Bus || Code == FindingCodes.WrongBus);
    }
}

/// <summary>One bus at the time of the report.</summary>
/// <param name="Name">Its name.</param>
public sealed record BusHealth(string Name)
{
    /// <summary>Data, remote and error frames.</summary>
    public long Frames { get; init; }

    /// <summary>Error reports of the adapter.</summary>
    public long ErrorFrames { get; init; }

    /// <summary>Remote frames: requests that carry no data and count for no message.</summary>
    public long RemoteFrames { get; init; }

    /// <summary>Frames of identifiers beyond the most that are told apart.</summary>
    public long OverflowFrames { get; init; }

    /// <summary>How often the clock of the bus was set back by more than a second.</summary>
    public int ClockRestarts { get; init; }

    /// <summary>How often it was silent beyond the silence time, the present silence included.</summary>
    public long Silences { get; init; }

    /// <summary>The longest of those silences, or null.</summary>
    public FrameSpan? LongestSilence { get; init; }

    /// <summary>Different identifiers seen.</summary>
    public int Identifiers { get; init; }

    /// <summary>Whether no frame at all has come for longer than the silence time.</summary>
    public bool IsSilent { get; init; }

    /// <summary>When the last frame came, or null.</summary>
    public FrameTime? Last { get; init; }

    /// <summary>When its recording began, where several are read as one, or null.</summary>
    public FrameTime? RecordedFrom { get; init; }

    /// <summary>When that recording ended, or null.</summary>
    public FrameTime? RecordedUntil { get; init; }

    /// <summary>Load over the whole time in per cent of the bit rate, or null where the bit rate is unknown.</summary>
    public double? LoadMean { get; init; }

    /// <summary>What it carried over time, where that was asked for and the bit rate is known.</summary>
    public TimeBins<LoadBin>? History { get; init; }

    /// <summary>The busiest second so far in per cent, or null.</summary>
    public double? LoadPeak { get; init; }

    /// <summary>The latest whole second in per cent, or null.</summary>
    public double? LoadNow { get; init; }
}

/// <summary>One module at the time of the report.</summary>
/// <param name="Definition">Which module.</param>
/// <param name="Verdict">Whether it gets what it lives on.</param>
public sealed record ModuleHealth(ModuleDefinition Definition, Verdict Verdict)
{
    /// <summary>How many of its needed messages are in each state, by <see cref="MessageState"/>.</summary>
    public IReadOnlyList<int> States { get; init; } = [];

    /// <summary>
    /// The index of the message that its verdict is made of, in <see cref="HealthReport.Messages"/>: the worst that it needs, or its own where the module
    /// itself is gone. Null where it needs none.
    /// </summary>
    public int? Worst { get; init; }

    /// <summary>The state of the message that proves that the module itself runs, or null where it has none.</summary>
    public MessageState? Alive { get; init; }
}

/// <summary>Period figures of one message; null where too few frames came.</summary>
public sealed record PeriodFigures
{
    /// <summary>The median gap between frames.</summary>
    public FrameSpan? Median { get; init; }

    /// <summary>The gap that 5 % of the gaps do not exceed.</summary>
    public FrameSpan? P05 { get; init; }

    /// <summary>The gap that 95 % of the gaps do not exceed.</summary>
    public FrameSpan? P95 { get; init; }

    /// <summary>The longest gap.</summary>
    public FrameSpan? Longest { get; init; }
}

/// <summary>One message, or one identifier that no definition claims, at the time of the report.</summary>
public sealed record MessageHealth
{
    /// <summary>The bus it was seen on, or is expected on.</summary>
    public required string Bus { get; init; }

    /// <summary>The identifier; null for a parameter group of which no frame came.</summary>
    public CanId? Id { get; init; }

    /// <summary>Its definition, or null.</summary>
    public MessageDefinition? Definition { get; init; }

    /// <summary>The definition's index in its set, or -1.</summary>
    public int DefinitionIndex { get; init; } = -1;

    /// <summary>Its state; null where nothing is expected of it.</summary>
    public MessageState? State { get; init; }

    /// <summary>Whether its silence is that of the whole bus.</summary>
    public bool BusIsSilent { get; init; }

    /// <summary>Frames seen.</summary>
    public long Frames { get; init; }

    /// <summary>When first, or null.</summary>
    public FrameTime? First { get; init; }

    /// <summary>When last, or null.</summary>
    public FrameTime? Last { get; init; }

    /// <summary>Its period.</summary>
    public PeriodFigures Period { get; init; } = new();

    /// <summary>Gaps beyond late-after that were not stale yet.</summary>
    public long LateGaps { get; init; }

    /// <summary>Gaps beyond stale-after, and first frames that came only after the grace time.</summary>
    public long StaleGaps { get; init; }

    /// <summary>The longest of those late and stale gaps, silences of the whole bus left out; null where there was none.</summary>
    public FrameSpan? LongestLateGap { get; init; }

    /// <summary>When that gap began, or null.</summary>
    public FrameTime? LongestLateGapFrom { get; init; }

    /// <summary>Frames whose counter stood still.</summary>
    public long CounterRepeated { get; init; }

    /// <summary>Frames whose counter jumped.</summary>
    public long CounterSkipped { get; init; }

    /// <summary>Frames with a wrong checksum.</summary>
    public long ChecksumBad { get; init; }

    /// <summary>Frames of the wrong length.</summary>
    public long WrongLength { get; init; }

    /// <summary>How many senders the frames seem to come from: 0, 1 or 2.</summary>
    public int Senders { get; init; }

    /// <summary>The latest payload.</summary>
    public ReadOnlyMemory<byte> Payload { get; init; }

    /// <summary>For each payload byte, the bits that ever changed.</summary>
    public ReadOnlyMemory<byte> ChangedBits { get; init; }

    /// <summary>For each payload byte, when it changed last, or <see cref="FrameTime.Never"/>; empty unless asked for (live views).</summary>
    public ReadOnlyMemory<FrameTime> ChangedAt { get; init; }

    /// <summary>When its frames came at which gaps, where that was asked for.</summary>
    public TimeBins<GapBin>? History { get; init; }

    /// <summary>When the condition held under which it is expected; null where it has none, or nobody asked.</summary>
    public IReadOnlyList<HeldTime>? Held { get; init; }

    /// <summary>Whether anything was found against it.</summary>
    public FindingSeverity? Worst { get; init; }
}

/// <summary>A stretch of time in which a condition held.</summary>
/// <param name="From">When it became true.</param>
/// <param name="Until">When it no longer was, or the moment of the report.</param>
public readonly record struct HeldTime(FrameTime From, FrameTime Until);

/// <summary>How much of the definitions the frames decided: what a verdict rests on.</summary>
/// <param name="Defined">Messages of the definitions.</param>
/// <param name="ByTime">Of those, how many were judged by when they came, or that they did not.</param>
/// <param name="ByContent">Of those, how many came and were judged by counter, checksum, what lives, or limits of their values.</param>
/// <param name="ByNeither">Of those, how many were judged by neither.</param>
public readonly record struct JudgedMessages(int Defined, int ByTime, int ByContent, int ByNeither);

/// <summary>Everything that is known about the health of the buses at one moment. Immutable.</summary>
/// <param name="Verdict">The answer for the car as a whole.</param>
public sealed record HealthReport(Verdict Verdict)
{
    /// <summary>The moment it speaks of: the latest frame, or later where time went on without frames. Null before the first frame.</summary>
    public FrameTime? Now { get; init; }

    /// <summary>The earliest frame, or null.</summary>
    public FrameTime? First { get; init; }

    /// <summary>Frames seen on all buses.</summary>
    public long Frames { get; init; }

    /// <summary>What the verdict rests on.</summary>
    public JudgedMessages Judged { get; init; }

    /// <summary>Why the source ended before its time, or null.</summary>
    public string? Interruption { get; init; }

    /// <summary>In the order of the source, then those that only the definitions know.</summary>
    public IReadOnlyList<BusHealth> Buses { get; init; } = [];

    /// <summary>In the order of the definitions.</summary>
    public IReadOnlyList<ModuleHealth> Modules { get; init; } = [];

    /// <summary>Defined messages in the order of the definitions, then the other identifiers by bus and number.</summary>
    public IReadOnlyList<MessageHealth> Messages { get; init; } = [];

    /// <summary>Worst first, then by time.</summary>
    public IReadOnlyList<Finding> Findings { get; init; } = [];
}
