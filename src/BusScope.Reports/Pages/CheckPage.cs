using BusScope.Frames.Diagnostics;
using BusScope.Health;
using BusScope.Reports.Layout;

namespace BusScope.Reports.Pages;

/// <summary>
/// The result of a check as one HTML file that needs nothing else: to be opened anywhere, printed, and handed over. The verdict
/// first, then who is starved of what, then the evidence, then by what all of it can be known again. See docs/report.md.
/// </summary>
public sealed class CheckPage
{
    private readonly Markup page;
    private readonly PageSubject subject;
    private readonly HealthReport report;

    private CheckPage(TextWriter output, PageSubject subject, HealthReport report)
    {
        page = new Markup(output);
        this.subject = subject;
        this.report = report;
    }

    /// <summary>Writes the page.</summary>
    public static void Write(TextWriter output, PageSubject subject, HealthReport report)
    {
        ArgumentNullException.ThrowIfNull(output);
        ArgumentNullException.ThrowIfNull(subject);
        ArgumentNullException.ThrowIfNull(report);
        new CheckPage(output, subject, report).Write();
    }

    private string Title => $"{Words.Called(report.Verdict)}: {subject.Run.Title ?? subject.Run.Source}";

    private void Write()
    {
        page.Raw("<!DOCTYPE html>\n");
        page.Element("html", null, () =>
        {
            page.Element("head", null, Head);
            page.Line();
            page.Element("body", null, () => page.Element("main", null, Body));
        }, ("lang", "en"), ("xmlns", "http://www.w3.org/1999/xhtml"));
        page.Line();
    }

    private void Head()
    {
        page.Raw("<meta charset=\"utf-8\"/><meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"/>");

        // Nothing may be fetched, and no script may run, whatever stands in a name.
        page.Raw("<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'; img-src data:\"/>");
        page.Element("title", null, Title);
        page.Raw($"<style>{PageStyle.Sheet}{PageStyle.Running($"{subject.Program}, check of {subject.Run.Source}", Words.Called(report.Verdict))}</style>");
    }

    private void Body()
    {
        new VerdictPart(page, subject, report).Write();
        ChangePart.Write(page, subject.Change);
        var numbers = new FindingNumbers(report);
        new ModulePart(page, report, numbers).Write();
        new FindingPart(page, report, numbers).Write();
        new PresencePart(page, report).Write();
        new LoadPart(page, report).Write();
        new MessagePart(page, report).Write();
        Problems();
        new IdentityPart(page, subject, report).Write();
        LimitPart.Write(page);
    }

    private void Problems()
    {
        if (subject.Run.Problems.Count == 0)
        {
            return;
        }

        page.Element("section", "problems", () =>
        {
            page.Element("h2", null, "What was wrong with the recording itself");
            page.Element("ul", null, () =>
            {
                foreach (var problem in subject.Run.Problems)
                {
                    page.Element("li", null, () =>
                    {
                        page.Element("b", null, problem.Count == 1 ? "Once: " : $"{Figures.Count(problem.Count)} times: ");
                        page.Text(Told(problem));
                    });
                }
            });
        });
        page.Line();
    }

    private static string Told(Problem problem)
    {
        var place = problem.First.ToString();
        var first = place.Length == 0 ? "" : $"; {(problem.Count == 1 ? "at" : "first at")} {place}";
        return $"{problem.Kind.Meaning}{first}{(problem.Detail is null ? "" : $" ({problem.Detail})")} [{problem.Kind.Code}]";
    }
}
