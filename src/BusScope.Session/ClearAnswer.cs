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
    private readonly Func<Finding, bool> isNeeded;
    private FrameSpan next = FrameSpan.Zero;

    /// <summary>For a set of definitions.</summary>
    public ClearAnswer(DefinitionSet definitions)
    {
        ArgumentNullException.ThrowIfNull(definitions);
        // Where nobody says who needs what, everything is needed.
        var isStated = definitions.Messages.Any(message => message.NeededBy.Count > 0);
        isNeeded = finding => !isStated || finding.Modules.Count > 0;
        var slowest = definitions.Messages
            .Where(message => !isStated || message.NeededBy.Count > 0)
            .Select(message => message.Timing.Every)
            .OfType<FrameSpan>()
            .DefaultIfEmpty(FrameSpan.Zero)
            .Max();
        enough = slowest * Periods > Shortest ? slowest * Periods : Shortest;
    }

    /// <summary>Whether a clear answer ends the run; otherwise it is only looked at.</summary>
    public bool EndsRun { get; init; } = true;

    /// <summary>Told what is known each time it is looked at, and how long it has been; or null.</summary>
    public Action<HealthReport, FrameSpan>? Looked { get; init; }

    /// <summary>Looks, where it is time to.</summary>
    /// <param name="monitor">What has been seen.</param>
    /// <param name="passed">How long the run has taken.</param>
    /// <param name="isSeen">Whether everything could be seen so far; an answer that lacks something is never clear.</param>
    /// <returns>Whether the answer is clear and ends the run.</returns>
    public bool IsReached(HealthMonitor monitor, FrameSpan passed, bool isSeen)
    {
        ArgumentNullException.ThrowIfNull(monitor);
        if (passed < next)
        {
            return false;
        }

        next = passed + Between;
        var report = monitor.Report(isFinal: true);
        Looked?.Invoke(report, passed);
        return EndsRun
            && isSeen
            && passed >= enough
            && report.Frames > 0
            && report.Verdict != Verdict.Inconclusive
            && !report.Modules.Any(module => module.Verdict == Verdict.Inconclusive)
            && !report.Findings.Any(finding => finding.Code == FindingCodes.NotJudged && isNeeded(finding));
    }
}
