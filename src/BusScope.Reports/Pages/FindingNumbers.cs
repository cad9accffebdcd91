using BusScope.Health;

namespace BusScope.Reports.Pages;

/// <summary>
/// The findings of a report, numbered in the order in which a reader meets them: those of the first module, then what is new in
/// the second, and so on; at last those that are about no module. A finding that starves several modules keeps one number.
/// </summary>
internal sealed class FindingNumbers
{
    private readonly Dictionary<Finding, int> numbers = new(ReferenceEqualityComparer.Instance);

    /// <summary>Numbers the findings.</summary>
    public FindingNumbers(HealthReport report)
    {
        var groups = new List<FindingGroup>();
        foreach (var module in report.Modules)
        {
            var own = report.Findings.Where(finding => finding.Severity != FindingSeverity.Note && finding.Modules.Contains(module.Definition.Name)).ToList();
            if (own.Count > 0)
            {
                groups.Add(new FindingGroup(module, [.. own.Where(IsNew)], [.. own.Where(finding => !IsNew(finding))]));
                own.ForEach(Number);
            }
        }

        var rest = report.Findings.Where(IsNew).ToList();
        if (rest.Count > 0)
        {
            groups.Add(new FindingGroup(null, rest, []));
            rest.ForEach(Number);
        }

        Groups = groups;
    }

    /// <summary>In the order of the page.</summary>
    public IReadOnlyList<FindingGroup> Groups { get; }

    /// <summary>The number of a finding, from 1.</summary>
    public int Of(Finding finding) => numbers[finding];

    private bool IsNew(Finding finding) => !numbers.ContainsKey(finding);

    private void Number(Finding finding) => numbers.TryAdd(finding, numbers.Count + 1);
}

/// <summary>The findings of one module.</summary>
/// <param name="Module">Which; null for those beside the modules.</param>
/// <param name="Told">Those that are told here.</param>
/// <param name="Before">Those that were told under a module before.</param>
internal sealed record FindingGroup(ModuleHealth? Module, IReadOnlyList<Finding> Told, IReadOnlyList<Finding> Before);
