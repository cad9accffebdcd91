using BusScope.Health;
using BusScope.Reports.Checks;
using BusScope.Reports.Layout;

namespace BusScope.Reports.Pages;

/// <summary>The head of a page: what was checked, the verdict, why, and the figures that go with it.</summary>
internal sealed class VerdictPart(Markup page, PageSubject subject, HealthReport report)
{
    /// <summary>Writes the part.</summary>
    public void Write()
    {
        page.Element("header", null, () =>
        {
            page.Element("p", "about", () =>
            {
                page.Element("span", null, "Check of a vehicle's CAN bus");
                page.Element("span", null, IdentityPart.Moment(subject.Generated));
            });
            page.Element("h1", null, subject.Run.Title ?? Names(subject.Run.Source));
            page.Element("p", "of", subject.Run.Definitions is { } definitions ? $"{subject.Run.Source}, held against {definitions}" : subject.Run.Source);
            page.Element("div", $"verdict {Words.Of(report.Verdict)}", () =>
            {
                page.Element("p", "word", Words.Called(report.Verdict));
                page.Element("div", null, () =>
                {
                    page.Element("p", "reason", VerdictReason.Of(report, subject.Run));
                    if (JudgedWords.Of(report) is { } judged)
                    {
                        page.Element("p", null, judged);
                    }

                    if (subject.Run.IsBrokenOff)
                    {
                        page.Element("p", null, "The check was broken off; only what came until then was judged.");
                    }
                });
            });
            page.Element("dl", "figures", () =>
            {
                Figure("checked", (report.Now - report.First)?.ToString());
                Figure("frames", Figures.Count(report.Frames));
                Figure(report.Buses.Count == 1 ? "bus" : "buses", Figures.Count(report.Buses.Count));
                Figure("messages expected", Figures.Count(report.Messages.Count(message => message.State is not null)));
                Figure("faults", Figures.Count(CountOf(FindingSeverity.Fault)));
                Figure("warnings", Figures.Count(CountOf(FindingSeverity.Warning)));
            });
        });
        page.Line();
    }

    // Several sources are told as one, with plus signs between.
    private static string Names(string source) => string.Join(" + ", source.Split(" + ").Select(Path.GetFileName));

    private int CountOf(FindingSeverity severity) => report.Findings.Count(finding => finding.Severity == severity);

    private void Figure(string name, string? figure) => page.Element("div", null, () =>
    {
        page.Element("dt", null, name);
        page.Element("dd", null, figure ?? "none");
    });
}
