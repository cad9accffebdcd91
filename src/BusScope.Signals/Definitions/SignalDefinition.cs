using BusScope.Frames.Diagnostics;

namespace BusScope.Signals.Definitions;

/// <summary>How the bits of a field are read.</summary>
public enum SignalEncoding
{
    /// <summary>An unsigned whole number.</summary>
    Unsigned,

    /// <summary>A whole number in two's complement.</summary>
    Signed,

    /// <summary>IEEE 754 binary32 or binary64, by length.</summary>
    Float,

    /// <summary>ASCII text, ended by its length, a zero byte or trailing blanks.</summary>
    Text,

    /// <summary>Packed decimal: one decimal digit in four bits, most significant first.</summary>
    PackedDecimal,
}

/// <summary>A named value of a signal: <c>3: drive</c>.</summary>
/// <param name="Raw">The raw value as the encoding reads it (negative for a signed field).</param>
/// <param name="Name">Its name.</param>
public readonly record struct NamedValue(long Raw, string Name);

/// <summary>A multiplexed signal is present only while its selector holds one of these raw values.</summary>
/// <param name="Selector">The name of the selecting signal of the same message.</param>
/// <param name="Values">The raw values that select, as ranges.</param>
public sealed record SelectorCondition(string Selector, IReadOnlyList<RawRange> Values);

/// <summary>A named bit field of a message with byte order, sign, scale, offset and unit.</summary>
public sealed record SignalDefinition
{
    /// <summary>Unique within its message.</summary>
    public required string Name { get; init; }

    /// <summary>Where the raw value stands.</summary>
    public required BitField Field { get; init; }

    /// <summary>How its bits are read.</summary>
    public SignalEncoding Encoding { get; init; }

    /// <summary>Physical value = raw value × scale + offset. Never 0.</summary>
    public double Scale { get; init; } = 1;

    /// <summary>Physical value = raw value × scale + offset.</summary>
    public double Offset { get; init; }

    /// <summary>The unit of the physical value, or null.</summary>
    public string? Unit { get; init; }

    /// <summary>The smallest physical value that makes sense, or null.</summary>
    public double? Minimum { get; init; }

    /// <summary>The largest physical value that makes sense, or null.</summary>
    public double? Maximum { get; init; }

    /// <summary>The fastest plausible change in physical units a second, or null.</summary>
    public double? LargestRate { get; init; }

    /// <summary>Raw values by which the sender says "no valid value".</summary>
    public IReadOnlyList<RawRange> NotAvailable { get; init; } = [];

    /// <summary>Raw values by which the sender says "my sensor is at fault".</summary>
    public IReadOnlyList<RawRange> Error { get; init; } = [];

    /// <summary>Raw values that are neither valid nor one of the two above (J1939: parameter specific and reserved).</summary>
    public IReadOnlyList<RawRange> Reserved { get; init; } = [];

    /// <summary>Names of raw values, ascending.</summary>
    public IReadOnlyList<NamedValue> Values { get; init; } = [];

    /// <summary>All must hold for the signal to be present; empty for a signal that is always there.</summary>
    public IReadOnlyList<SelectorCondition> When { get; init; } = [];

    /// <summary>What the signal is, as a COVESA VSS path, or null.</summary>
    public string? Role { get; init; }

    /// <summary>Whether the value is meant to move while its message is expected: one that never does is reported as stuck.</summary>
    public bool Lives { get; init; }

    /// <summary>A sentence for a person, or null.</summary>
    public string? Note { get; init; }

    /// <summary>Where the definition stands.</summary>
    public TextPlace Place { get; init; }
}
