namespace BusScope.Signals.Plans;

/// <summary>What a value is worth.</summary>
public enum SampleQuality : byte
{
    /// <summary>A valid value.</summary>
    Ok,

    /// <summary>The sender says that it has no valid value.</summary>
    NotAvailable,

    /// <summary>The sender says that its sensor is at fault.</summary>
    Error,

    /// <summary>The value lies outside the range that the definition gives, or among its reserved raw values.</summary>
    OutOfRange,

    /// <summary>The value changed faster than the definition calls plausible.</summary>
    Implausible,

    /// <summary>The value is older than its message's stale time.</summary>
    Stale,

    /// <summary>The frame does not hold the signal: too short, or another branch of the multiplexer.</summary>
    Absent,
}

/// <summary>One reading of a signal.</summary>
/// <param name="Raw">The bits of the field as an unsigned number (text: 0).</param>
/// <param name="Value">The physical value; NaN for text, for absent, not-available and error readings, and where the bits are no number.</param>
/// <param name="Quality">What it is worth.</param>
public readonly record struct Sample(ulong Raw, double Value, SampleQuality Quality);
