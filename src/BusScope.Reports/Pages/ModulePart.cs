using BusScope.Health;
using BusScope.Health.Findings;
using BusScope.Reports.Layout;

namespace BusScope.Reports.Pages;

/// <summary>Module by module: whether it gets what it lives on, and of what it is starved.</summary>
internal sealed class ModulePart(Markup page, HealthReport report, FindingNumbers numbers)
{
    private static readonly MessageState[] Columned =
        [MessageState.Awaited, MessageState.Fresh, MessageState.Late, MessageState.Stale, MessageState.Missing, MessageState.Idle];

    /// <summary>Writes the part; nothing where the definitions name no module.</summary>
    public void Write()
    {
        if (report.Modules.Count == 0)
        {
            return;
        }

        MessageState[] states = [.. Columned.Where(state => state == MessageState.Fresh || report.Modules.Any(module => module.In(state) > 0))];
        page.Element("section", null, () =>
        {
            page.Element("h2", null, "Modules");
            page.Element("p", "lead", "For each control unit: how many of the messages that it lives on are in which state at the end of the check, and what it is starved of, or what of it could not be judged.");
            new Table(page, "modules", ["module", "verdict", .. states.Select(state => ">" + Words.Of(state)), "starved of"])
                .Write(report.Modules.Select(module => RowOf(module, states)));
        });
        page.Line();
    }

    /// <summary>Writes a verdict as a word that stands out; the colour only helps to find it.</summary>
    public static void Badge(Markup page, Verdict verdict) => page.Element("span", $"badge {Words.Of(verdict)}", Words.Called(verdict));

    private IReadOnlyList<Action<Markup>?> RowOf(ModuleHealth module, MessageState[] states) =>
    [
        cell => cell.Element("b", null, module.Definition.Title),
        module is { Alive: null, Verdict: Verdict.Go } && module.Needs() == 0 ? Table.Cell("needs nothing") : cell => Badge(cell, module.Verdict),
        .. states.Select(state => Table.Cell(module.In(state) == 0 && state != MessageState.Fresh ? null : Figures.Count(module.In(state)))),
        Lacks(module),
    ];

    // One link for each message or bus, to the first finding about it.
    private Action<Markup>? Lacks(ModuleHealth module)
    {
        var isOpen = module.Verdict == Verdict.Inconclusive;
        var reasons = report.Findings
            .Where(finding => finding.Modules.Contains(module.Definition.Name) && (isOpen ? LeavesOpen(finding) : finding.Severity == FindingSeverity.Fault))
            .GroupBy(finding => finding.Message ?? finding.Bus ?? finding.Code)
            .ToList();
        return reasons.Count == 0 ? null : cell =>
        {
            cell.Text(isOpen ? "not judged: " : "");
            for (var i = 0; i < reasons.Count; i++)
            {
                cell.Text(i == 0 ? "" : ", ");
                cell.Element("a", null, () => cell.Text(reasons[i].Key), ("href", $"#finding-{numbers.Of(reasons[i].First())}"));
            }
        };
    }

    private static bool LeavesOpen(Finding finding) => finding.Severity == FindingSeverity.Warning || finding.Code == FindingCodes.NotJudged;
}
