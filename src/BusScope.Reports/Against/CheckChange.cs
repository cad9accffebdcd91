using BusScope.Health;

namespace BusScope.Reports.Against;

/// <summary>What changed between an earlier check and this one. A finding that is gone was not found this time, which is all that it says.</summary>
public sealed class CheckChange
{
    private CheckChange(EarlierCheck earlier, Verdict now)
    {
        Earlier = earlier;
        Now = now;
    }

    /// <summary>The earlier check.</summary>
    public EarlierCheck Earlier { get; }

    /// <summary>The verdict of this one.</summary>
    public Verdict Now { get; }

    /// <summary>The modules whose verdict changed, or that only one of both checks knows, in the order of this check.</summary>
    public IReadOnlyList<ModuleChange> Modules { get; private init; } = [];

    /// <summary>Findings of this check that the earlier one did not have, worst first.</summary>
    public IReadOnlyList<Finding> New { get; private init; } = [];

    /// <summary>How the definitions differ, or null where nothing tells that they do.</summary>
    public DefinitionChange? Definitions { get; private init; }

    /// <summary>Findings of the earlier check that this one looked for and does not have, worst first.</summary>
    public IReadOnlyList<EarlierFinding> Gone { get; private init; } = [];

    /// <summary>Findings of the earlier check that this one did not look for: what they are about is not defined now, or did not come.</summary>
    public IReadOnlyList<EarlierFinding> Unseen { get; private init; } = [];

    /// <summary>Findings of both.</summary>
    public IReadOnlyList<LastingFinding> Still { get; private init; } = [];

    /// <summary>Compares.</summary>
    /// <param name="earlier">The earlier check.</param>
    /// <param name="report">This one.</param>
    public static CheckChange Between(EarlierCheck earlier, HealthReport report)
    {
        ArgumentNullException.ThrowIfNull(earlier);
        ArgumentNullException.ThrowIfNull(report);

        // Several senders of one message may each have the same finding, so that a subject can stand in a list more than once.
        var before = earlier.Findings.GroupBy(finding => finding.Subject).ToDictionary(group => group.Key, group => new Queue<EarlierFinding>(group));
        var (fresh, still) = (new List<Finding>(), new List<LastingFinding>());
        foreach (var finding in report.Findings)
        {
            if (before.TryGetValue(FindingSubject.Of(finding), out var known) && known.TryDequeue(out var then))
            {
                still.Add(LastingFinding.Of(then, earlier.Seconds, finding, (report.Now - report.First)?.Seconds ?? 0));
            }
            else
            {
                fresh.Add(finding);
            }
        }

        var left = before.Values.SelectMany(queue => queue).ToHashSet(ReferenceEqualityComparer.Instance);
        return new CheckChange(earlier, report.Verdict)
        {
            Modules = ModulesOf(earlier, report),
            New = fresh,
            Definitions = DefinitionChange.Between(earlier, report),
            Gone = [.. earlier.Findings.Where(finding => left.Contains(finding) && LookedAt.In(finding.Subject, report))],
            Unseen = [.. earlier.Findings.Where(finding => left.Contains(finding) && !LookedAt.In(finding.Subject, report))],
            Still = still,
        };
    }

    private static List<ModuleChange> ModulesOf(EarlierCheck earlier, HealthReport report)
    {
        var before = new Dictionary<string, EarlierModule>(StringComparer.Ordinal);
        foreach (var module in earlier.Modules)
        {
            before.TryAdd(module.Name, module);
        }

        var changes = new List<ModuleChange>();
        foreach (var module in report.Modules)
        {
            Verdict? then = before.Remove(module.Definition.Name, out var known) ? known.Verdict : null;
            if (then != module.Verdict)
            {
                changes.Add(new ModuleChange(module.Definition.Name, module.Definition.Title, then, module.Verdict));
            }
        }

        changes.AddRange(earlier.Modules.Where(module => before.Remove(module.Name)).Select(module => new ModuleChange(module.Name, module.Title, module.Verdict, null)));
        return changes;
    }
}

/// <summary>A module whose verdict changed.</summary>
/// <param name="Name">Its name.</param>
/// <param name="Title">Its title.</param>
/// <param name="Before">The verdict then; null where the earlier check did not know it.</param>
/// <param name="Now">The verdict now; null where this check does not know it.</param>
public sealed record ModuleChange(string Name, string Title, Verdict? Before, Verdict? Now);

/// <summary>A finding of both checks.</summary>
/// <param name="Before">As it was.</param>
/// <param name="Now">As it is.</param>
/// <param name="Trend">Whether it came about as often in each second of the check.</param>
public sealed record LastingFinding(EarlierFinding Before, Finding Now, FindingTrend Trend)
{
    // Less is no change from one minute to the next. This program's choice.
    private const double SmallestFactor = 2;
    private const long SmallestDifference = 3;

    /// <summary>The same finding of two checks that took so many seconds.</summary>
    internal static LastingFinding Of(EarlierFinding before, double? secondsBefore, Finding now, double secondsNow)
    {
        if (before.Count is not (> 0 and var count) || now.Count <= 0 || secondsBefore is not > 0 || secondsNow <= 0 || Math.Abs(now.Count - count) < SmallestDifference)
        {
            return new LastingFinding(before, now, FindingTrend.Same);
        }

        var factor = now.Count / secondsNow / (count / secondsBefore.Value);
        return new LastingFinding(before, now, factor >= SmallestFactor ? FindingTrend.MoreOften : factor <= 1 / SmallestFactor ? FindingTrend.LessOften : FindingTrend.Same);
    }
}

/// <summary>How often a finding of both checks came, by the time that they took.</summary>
public enum FindingTrend
{
    /// <summary>About as often, or nobody knows.</summary>
    Same,

    /// <summary>At least twice as often now.</summary>
    MoreOften,

    /// <summary>At most half as often now.</summary>
    LessOften,
}
