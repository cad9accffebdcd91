using BusScope.Frames;
using BusScope.Frames.Diagnostics;
using BusScope.Signals.Expressions;

namespace BusScope.Signals.Definitions;

/// <summary>Which frames are instances of a message: one identifier, or a J1939 parameter group.</summary>
public abstract record MessageKey
{
    private MessageKey()
    {
    }

    /// <summary>Frames with just this identifier.</summary>
    public sealed record Identifier(CanId Id) : MessageKey;

    /// <summary>Extended frames with this parameter group number (SAE J1939-21), from one source address or from any.</summary>
    /// <param name="Pgn">0 to 0x3FFFF.</param>
    /// <param name="Source">0 to 0xFF, or null for any.</param>
    public sealed record ParameterGroup(int Pgn, int? Source) : MessageKey;
}

/// <summary>When a message is sent, and when its absence counts.</summary>
public sealed record MessageTiming
{
    /// <summary>The nominal period, or null for a message that has none.</summary>
    public FrameSpan? Every { get; init; }

    /// <summary>Whether it is sent when something changes; with <see cref="Every"/> also at that period.</summary>
    public bool OnChange { get; init; }

    /// <summary>Silence beyond this is late. Null only where nothing is expected.</summary>
    public FrameSpan? LateAfter { get; init; }

    /// <summary>Silence beyond this is stale: receivers have stopped believing the message. Null only where nothing is expected.</summary>
    public FrameSpan? StaleAfter { get; init; }
}

/// <summary>A frame with the values that it must give: checked by <c>define check</c>.</summary>
/// <param name="Payload">The payload bytes.</param>
/// <param name="Gives">Signal names and what they must read: a number, or a named value or text.</param>
/// <param name="Place">Where it stands.</param>
public sealed record FrameExample(ReadOnlyMemory<byte> Payload, IReadOnlyList<ExpectedValue> Gives, TextPlace Place);

/// <summary>What a signal of an example must read.</summary>
/// <param name="Signal">Its name.</param>
/// <param name="Text">As written.</param>
/// <param name="Number">As a number, or null where it is a name, a text or one of the words not-available, error, absent.</param>
/// <param name="Place">Where it stands.</param>
public sealed record ExpectedValue(string Signal, string Text, double? Number, TextPlace Place);

/// <summary>The definition of a frame's content, and what is expected of it.</summary>
public sealed record MessageDefinition
{
    /// <summary>Unique in the definition set.</summary>
    public required string Name { get; init; }

    /// <summary>Which frames are instances of it.</summary>
    public required MessageKey Key { get; init; }

    /// <summary>The bus it is sent on, or null for any bus of a session that has only one.</summary>
    public string? Bus { get; init; }

    /// <summary>The name of the sending module, or null.</summary>
    public string? From { get; init; }

    /// <summary>The names of the modules that live on it.</summary>
    public IReadOnlyList<string> NeededBy { get; init; } = [];

    /// <summary>The payload length in bytes, or null where any is right.</summary>
    public int? Length { get; init; }

    /// <summary>When it is sent.</summary>
    public MessageTiming Timing { get; init; } = new();

    /// <summary>The expectation holds only while this is true; null means always.</summary>
    public Expression? While { get; init; }

    /// <summary>Its alive counter, or null.</summary>
    public CounterDefinition? Counter { get; init; }

    /// <summary>Its checksum, or null.</summary>
    public ChecksumDefinition? Checksum { get; init; }

    /// <summary>For each payload byte the bits of which one at least changes all the time in a healthy car; empty where nothing is said of it.</summary>
    public ReadOnlyMemory<byte> Lives { get; init; }

    /// <summary>The part of the payload that never changes in a healthy car, or null where nothing is said of it.</summary>
    public ConstantPayload? Constant { get; init; }

    /// <summary>In the order of the file.</summary>
    public IReadOnlyList<SignalDefinition> Signals { get; init; } = [];

    /// <summary>Frames with known values.</summary>
    public IReadOnlyList<FrameExample> Examples { get; init; } = [];

    /// <summary>A sentence for a person, or null.</summary>
    public string? Note { get; init; }

    /// <summary>Where the definition stands.</summary>
    public TextPlace Place { get; init; }
}
