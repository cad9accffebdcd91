using BusScope.Health;
using BusScope.Health.Findings;
using BusScope.Reports.Layout;
using BusScope.Reports.Pages.Plots;

namespace BusScope.Reports.Pages;

/// <summary>What was found, grouped by the module that suffers from it, each with its evidence; what has to do with time is drawn.</summary>
internal sealed class FindingPart(Markup page, HealthReport report, FindingNumbers numbers)
{
    // Beyond it a page would be no page any more: some 30 kilobytes each. Worst come first.
    private const int MostPlots = 24;

    private static readonly string[] InTime =
    [
        FindingCodes.MessageStopped, FindingCodes.MessageStale, FindingCodes.MessageLate, FindingCodes.MessageTooSlow,
        FindingCodes.MessageTooFast, FindingCodes.MessageJitters, FindingCodes.PeriodDiffers, FindingCodes.ExtraFrames, FindingCodes.TwoSenders,
        FindingCodes.ModuleSilent,
    ];

    private readonly HashSet<MessageHealth> drawn = new(ReferenceEqualityComparer.Instance);

    /// <summary>Writes the part.</summary>
    public void Write()
    {
        page.Element("section", "findings", () =>
        {
            page.Element("h2", null, "Findings");
            if (report.Findings.Count == 0)
            {
                page.Element("p", "lead", "Nothing was found against any message, module or bus.");
                return;
            }

            page.Element("p", "lead", "A fault starves a module or silences it; a warning is not as defined, but starves nobody; a note is worth knowing. Times are seconds since the first frame.");
            foreach (var group in numbers.Groups)
            {
                Write(group);
            }
        });
        page.Line();
    }

    private void Write(FindingGroup group)
    {
        page.Element("h3", null, () =>
        {
            page.Text(group.Module?.Definition.Title ?? (report.Modules.Count == 0 ? "All messages" : "Beside the modules"));
            if (group.Module is { } module)
            {
                ModulePart.Badge(page, module.Verdict);
            }
        });
        foreach (var finding in group.Told)
        {
            Write(finding);
        }

        if (group.Before.Count > 0)
        {
            page.Element("p", "before", () =>
            {
                page.Text("Told above and felt here as well: ");
                for (var i = 0; i < group.Before.Count; i++)
                {
                    var number = numbers.Of(group.Before[i]);
                    page.Text(i == 0 ? "" : ", ");
                    page.Element("a", null, () => page.Text($"{number} {group.Before[i].Message ?? (group.Before[i].Bus is { } bus ? $"bus {bus}" : group.Before[i].Code)}"), ("href", $"#finding-{number}"));
                }
            });
        }
    }

    private void Write(Finding finding)
    {
        page.Element("article", Words.Of(finding.Severity), () =>
        {
            page.Element("p", "what", () =>
            {
                page.Element("span", "number", $"{numbers.Of(finding)}");
                page.Element("span", $"badge {Words.Of(finding.Severity)}", Words.Of(finding.Severity));
                page.Text(finding.Text);
            });
            page.Element("p", "evidence", string.Join(" · ", Evidence(finding)));
            if (InTime.Contains(finding.Code) && RowOf(finding) is { } row && drawn.Count < MostPlots && drawn.Add(row) && GapPlot.Of(row, report) is { } plot)
            {
                page.Element("figure", null, () =>
                {
                    page.Raw(plot.Svg);
                    page.Element("figcaption", null, plot.Caption);
                });
            }
        }, ("id", $"finding-{numbers.Of(finding)}"));
        page.Line();
    }

    private IEnumerable<string> Evidence(Finding finding)
    {
        yield return finding.Code;
        if (finding.Bus is { } bus)
        {
            yield return $"bus {bus}";
        }

        if (RowOf(finding)?.Id is { } id)
        {
            yield return id.ToString();
        }

        if (finding.At is { } at && report.First is { } first)
        {
            yield return finding.Until is { } until && until > at
                ? $"first {Figures.Seconds(at - first)} s, last {Figures.Seconds(until - first)} s"
                : $"at {Figures.Seconds(at - first)} s";
        }

        if (finding.Frame is { } frame)
        {
            yield return finding.UntilFrame is { } until && until != frame ? $"frames {Figures.Count(frame)} to {Figures.Count(until)}" : $"frame {Figures.Count(frame)}";
        }

        if (finding.Count > 1)
        {
            yield return Figures.Of(finding.Count, "time");
        }

        if (finding.Modules.Count > 0)
        {
            yield return $"needed by {string.Join(", ", finding.Modules)}";
        }
    }

    private MessageHealth? RowOf(Finding finding) =>
        finding.Message is null ? null
        : report.Messages.FirstOrDefault(row => row.Name() == finding.Message && row.Bus == finding.Bus && row.History is not null)
            ?? report.Messages.FirstOrDefault(row => row.Name() == finding.Message);
}
