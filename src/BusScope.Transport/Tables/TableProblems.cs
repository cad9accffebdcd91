using BusScope.Frames.Diagnostics;

namespace BusScope.Transport.Tables;

/// <summary>What can be wrong with a text table, and what had to be inferred. A row with a fault gives no frame; the others do.</summary>
public static class TableProblems
{
    /// <summary>A row ends before the columns that every frame needs.</summary>
    public static readonly ProblemKind TooFewColumns = new("row-too-few-columns", "Rows with fewer columns than time, identifier and length need") { SkipsFrames = true };

    /// <summary>A row goes on after the columns of the header.</summary>
    public static readonly ProblemKind TooManyColumns = new("row-too-many-columns", "Rows with more columns than the header") { SkipsFrames = true };

    /// <summary>A row does not match the line pattern of the profile.</summary>
    public static readonly ProblemKind NoMatch = new("row-does-not-match", "Rows that do not match the profile's line pattern") { SkipsFrames = true };

    /// <summary>The time cell is no decimal number, or lies outside the years 1677 to 2262.</summary>
    public static readonly ProblemKind NotATime = new("row-time-not-a-number", "Rows whose time is not a number, or outside the range of time") { SkipsFrames = true };

    /// <summary>The identifier cell is no number in the base of the table.</summary>
    public static readonly ProblemKind NotAnId = new("row-id-not-a-number", "Rows whose identifier is not a number") { SkipsFrames = true };

    /// <summary>The identifier has more than 29 bits.</summary>
    public static readonly ProblemKind IdTooLarge = new("row-id-too-large", "Rows whose identifier has more than 29 bits") { SkipsFrames = true };

    /// <summary>The length cell is no number.</summary>
    public static readonly ProblemKind NotALength = new("row-length-not-a-number", "Rows whose length is not a number") { SkipsFrames = true };

    /// <summary>The length is above 64.</summary>
    public static readonly ProblemKind LengthTooLarge = new("row-length-too-large", "Rows with more than 64 data bytes") { SkipsFrames = true };

    /// <summary>A data cell is not made of pairs of hexadecimal digits.</summary>
    public static readonly ProblemKind NotData = new("row-data-not-hex", "Rows whose data are not hexadecimal bytes") { SkipsFrames = true };

    /// <summary>An empty data column is followed by a filled one.</summary>
    public static readonly ProblemKind GapInData = new("row-data-gap", "Rows with an empty data column before a filled one") { SkipsFrames = true };

    /// <summary>The length says something else than the number of data bytes.</summary>
    public static readonly ProblemKind LengthDisagrees = new("row-length-disagrees", "Rows whose length disagrees with their data columns") { SkipsFrames = true };

    /// <summary>A flag cell says neither yes nor no.</summary>
    public static readonly ProblemKind NotAFlag = new("row-flag-not-understood", "Rows with a flag that says neither yes nor no") { SkipsFrames = true };

    /// <summary>The direction cell says neither received nor sent.</summary>
    public static readonly ProblemKind NotADirection = new("row-direction-not-understood", "Rows whose direction is neither received nor sent") { SkipsFrames = true };

    /// <summary>The bus cell is empty or longer than 64 bytes.</summary>
    public static readonly ProblemKind NotABus = new("row-bus-not-understood", "Rows whose bus is empty or longer than 64 bytes") { SkipsFrames = true };

    /// <summary>More than 256 buses.</summary>
    public static readonly ProblemKind TooManyBuses = new("row-too-many-buses", "Rows of a bus beyond the 256th") { SkipsFrames = true };

    /// <summary>A quoted cell does not end in its row.</summary>
    public static readonly ProblemKind OpenQuote = new("row-quote-open", "Rows with a quoted field that does not end") { SkipsFrames = true };

    /// <summary>A row is longer than any row of a table can be.</summary>
    public static readonly ProblemKind RowTooLong = new("row-too-long", "Rows longer than 16384 bytes") { SkipsFrames = true };

    /// <summary>Nothing says in which unit the times are.</summary>
    public static readonly ProblemKind TimeUnitInferred = new("time-unit-inferred", "The unit of the times was inferred from the numbers");

    /// <summary>Nothing says which identifiers have 29 bits.</summary>
    public static readonly ProblemKind IdFormatInferred = new("id-format-inferred", "No column tells 11-bit from 29-bit identifiers: those above 0x7FF were taken as 29 bit");

    /// <summary>Many identifiers, read as hexadecimal, and never a digit above 9.</summary>
    public static readonly ProblemKind IdsLookDecimal = new("ids-look-decimal", "Identifiers were read as hexadecimal but look decimal");

    /// <summary>Columns whose names say nothing that a frame has.</summary>
    public static readonly ProblemKind ColumnsIgnored = new("columns-ignored", "Columns that were not understood and not used");

    /// <summary>Every kind, in the order of the document.</summary>
    public static IReadOnlyList<ProblemKind> All { get; } =
    [
        TooFewColumns, TooManyColumns, NoMatch, NotATime, NotAnId, IdTooLarge, NotALength, LengthTooLarge, NotData, GapInData, LengthDisagrees,
        NotAFlag, NotADirection, NotABus, TooManyBuses, OpenQuote, RowTooLong, TimeUnitInferred, IdFormatInferred, IdsLookDecimal, ColumnsIgnored,
    ];
}
