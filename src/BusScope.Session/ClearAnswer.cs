using BusScope.Frames;
using BusScope.Health;
using BusScope.Health.Findings;
using BusScope.Signals.Definitions;

namespace BusScope.Session;

/// <summary>
/// When the answer of a check on a live bus is clear, so that nobody has to wait for the rest of the time. GO is clear when every
/// expectation has been met for long enough: five seconds, and ten periods of the slowest needed message. NO-GO is clear after the same
/// time, when everything that a module needs has been judged: a fault that was seen is not undone by what follows. An answer that
/// rests on a condition that has not held yet, or on an adapter that is away, is never clear.
/// </summary>
public sealed record ClearAnswer
{
    private const int Periods = 10;
    private static readonly FrameSpan Shortest = FrameSpan.FromSeconds(5);

    // A report is made this often to look at; a person does not notice a shorter time.
    private static readonly FrameSpan Between = FrameSpan.FromMilliseconds(250);

    private readonly FrameSpan enough;
    private FrameTime start = FrameTime.Never;
    private FrameTime next = FrameTime.Never;

    /// <summary>For a set of definitions.</summary>
    public ClearAnswer(DefinitionSet definitions)
    {
        ArgumentNullException.ThrowIfNull(definitions);
        var slowest = definitions.Messages
            .Where(message => message.NeededBy.Count > 0)
            .Select(message => message.Timing.Every)
            .OfType<FrameSpan>()
            .DefaultIfEmpty(FrameSpan.Zero)
            .Max();
        enough = slowest * Periods > Shortest ? slowest * Periods : Shortest;
    }

    /// <summary>Told what is known each time it is looked at, and how long it has been; or null.</summary>
    public Action<HealthReport, FrameSpan>? Looked { get; init; }

    /// <summary>Looks, where it is time to.</summary>
    /// <returns>Whether the answer is clear.</returns>
    public bool IsReached(HealthMonitor monitor, FrameTime now)
    {
        ArgumentNullException.ThrowIfNull(monitor);
        start = start.IsKnown ? start : now;
        if (next.IsKnown && now < next)
        {
            return false;
        }

        next = now + Between;
        var report = monitor.Report(isFinal: true);
        Looked?.Invoke(report, now - start);
        return now - start >= enough
            && report.Frames > 0
            && report.Verdict != Verdict.Inconclusive
            && !report.Modules.Any(module => module.Verdict == Verdict.Inconclusive)
            && !report.Findings.Any(finding => finding.Code == FindingCodes.NotJudged && finding.Modules.Count > 0);
    }
}
