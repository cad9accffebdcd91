using BusScope.Reports.Against;

namespace BusScope.Reports;

/// <summary>What stands in a report to be handed over, beside what was found: it must be possible to tell a year later what was checked, with what.</summary>
/// <param name="Run">What was checked.</param>
/// <param name="Generated">When the report was made.</param>
/// <param name="Program">The program and its version.</param>
public sealed record PageSubject(RunSubject Run, DateTimeOffset Generated, string Program)
{
    /// <summary>The captures and definition files.</summary>
    public IReadOnlyList<FileIdentity> Files { get; init; } = [];

    /// <summary>What changed since an earlier check, or null.</summary>
    public CheckChange? Change { get; init; }
}
