using BusScope.Frames;
using BusScope.Frames.Diagnostics;
using BusScope.Transport.Input;
using BusScope.Transport.Records;

namespace BusScope.Transport;

/// <summary>Where the reader of a binary capture stands, and what all of them know by then. The tables are copies that nobody changes.</summary>
internal abstract record CapturePlace : SourcePlace
{
    /// <summary>The file.</summary>
    public required OpenedFile File { get; init; }

    /// <summary>The place of the next byte in the file.</summary>
    public required long Offset { get; init; }

    /// <summary>Whether nothing more can be read.</summary>
    public required bool IsOver { get; init; }

    /// <summary>The buses met so far.</summary>
    public required BusTable Buses { get; init; }

    /// <summary>What was wrong so far.</summary>
    public required ProblemLog Problems { get; init; }
}
