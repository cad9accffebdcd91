using BusScope.Frames;
using BusScope.Signals.Plans;

namespace BusScope.Reports.Samples;

/// <summary>One value of one frame on its way out.</summary>
public readonly ref struct SampleRow
{
    /// <summary>When the frame was received; or, relative, since the first frame.</summary>
    public required FrameTime Time { get; init; }

    /// <summary>Whose value it is: what <see cref="ISampleWriter.Declare"/> gave for it.</summary>
    public required int Column { get; init; }

    /// <summary>The value.</summary>
    public required Sample Sample { get; init; }

    /// <summary>What stands in place of a number: a named value, or the text of a text signal; empty for a number.</summary>
    public ReadOnlySpan<char> Text { get; init; }

    /// <summary>Whether <see cref="Text"/> stands in place of the number.</summary>
    public bool HasText { get; init; }

    /// <summary>Whether there are raw bits: not for text and computed values.</summary>
    public bool HasRaw { get; init; }
}

/// <summary>What does not change from row to row of one signal.</summary>
/// <param name="Bus">The bus, or empty.</param>
/// <param name="Message">The message, or empty for a computed value.</param>
/// <param name="Signal">The signal.</param>
/// <param name="Unit">Its unit, or null.</param>
public sealed record SampleColumn(string Bus, string Message, string Signal, string? Unit);

/// <summary>Where decoded values go.</summary>
public interface ISampleWriter
{
    /// <summary>Makes a signal on a bus known, once, before its first value.</summary>
    /// <returns>The number by which its values name it.</returns>
    int Declare(SampleColumn column);

    /// <summary>Writes one value.</summary>
    /// <exception cref="IOException">The output cannot be written.</exception>
    void Write(in SampleRow row);

    /// <summary>Hands everything written so far to the output.</summary>
    /// <exception cref="IOException">The output cannot be written.</exception>
    void Flush();
}
