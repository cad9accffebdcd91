using System.Text.RegularExpressions;
using BusScope.Frames;

namespace BusScope.Transport.Tables;

/// <summary>
/// What a user says about a text table whose header does not speak for itself. Written as YAML, see
/// docs/captures-text-tables.md; <see cref="TextTableProfileReader"/> reads it.
/// </summary>
public sealed record TextTableProfile
{
    /// <summary>The byte between cells; a blank stands for any run of blanks and tabs; null: found from the header.</summary>
    public byte? Separator { get; init; }

    /// <summary>Whether the first row names the columns.</summary>
    public bool HasHeader { get; init; } = true;

    /// <summary>Lines to pass over before anything is looked at.</summary>
    public int SkipLines { get; init; }

    /// <summary>Lines that start so are passed over; null: none.</summary>
    public string? Comment { get; init; }

    /// <summary>Columns by role: a name of the header, or a number counted from 1. What is not named here comes from the header.</summary>
    public IReadOnlyDictionary<ColumnRole, string> Columns { get; init; } = new Dictionary<ColumnRole, string>();

    /// <summary>Columns of single data bytes, in their order: names or numbers.</summary>
    public IReadOnlyList<string> DataColumns { get; init; } = [];

    /// <summary>A pattern for the whole line, its groups named like the columns; null: the table has columns.</summary>
    public Regex? Line { get; init; }

    /// <summary>Nanoseconds in one unit of the time column; null: from the header's name, else inferred.</summary>
    public long? TimeUnit { get; init; }

    /// <summary>What is added to every time: the moment, since the Unix epoch, at which the table's clock stood at zero.</summary>
    public FrameSpan TimeOffset { get; init; }

    /// <summary>After how long the table's clock falls back to zero; null: never.</summary>
    public FrameSpan? WrapsAfter { get; init; }

    /// <summary>Whether identifiers are written in decimal.</summary>
    public bool IdIsDecimal { get; init; }

    /// <summary>Whether all identifiers have 29 bits, or none; null: as a column says, and without one, those above 0x7FF.</summary>
    public bool? IdIsExtended { get; init; }

    /// <summary>The name of the bus of a table without a column for it.</summary>
    public string? Bus { get; init; }

    /// <summary>Whether data columns beyond the length are filling and not data.</summary>
    public bool IsPadded { get; init; }
}
