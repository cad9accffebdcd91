using BusScope.Frames.Diagnostics;

namespace BusScope.Reports;

/// <summary>What a report is about, beside what was found: it stands in the report so that a year later one knows.</summary>
/// <param name="Source">What a person calls the source.</param>
public sealed record RunSubject(string Source)
{
    /// <summary>The definition files as named, or null where there are none.</summary>
    public string? Definitions { get; init; }

    /// <summary>The title that the definitions give themselves, or null.</summary>
    public string? Title { get; init; }

    /// <summary>What was wrong with the source's data.</summary>
    public IReadOnlyList<Problem> Problems { get; init; } = [];

    /// <summary>Why the source ended before its end, or null.</summary>
    public string? Failure { get; init; }

    /// <summary>Whether a person broke it off.</summary>
    public bool IsBrokenOff { get; init; }
}
