using BusScope.Frames.Diagnostics;
using BusScope.Health;
using BusScope.Reports.Against;
using BusScope.Reports.Layout;

namespace BusScope.Reports.Checks;

/// <summary>The verdict for a person beside the car: the answer first, then module by module, then the evidence.</summary>
public sealed class CheckText
{
    private static readonly MessageState[] Columned =
        [MessageState.Awaited, MessageState.Fresh, MessageState.Late, MessageState.Stale, MessageState.Missing, MessageState.Idle];

    private readonly TextWriter output;
    private readonly RunSubject subject;
    private readonly HealthReport report;
    private readonly Ink ink;

    private CheckText(TextWriter output, RunSubject subject, HealthReport report, Ink ink)
    {
        this.output = output;
        this.subject = subject;
        this.report = report;
        this.ink = ink;
    }

    /// <summary>Writes the report, at most 80 columns wide where names allow.</summary>
    /// <param name="output">Where to.</param>
    /// <param name="subject">What was checked.</param>
    /// <param name="report">What was found.</param>
    /// <param name="ink">How it is coloured.</param>
    /// <param name="change">What changed since an earlier check, or null.</param>
    public static void Write(TextWriter output, RunSubject subject, HealthReport report, Ink ink, CheckChange? change = null)
    {
        ArgumentNullException.ThrowIfNull(output);
        ArgumentNullException.ThrowIfNull(subject);
        ArgumentNullException.ThrowIfNull(report);
        ArgumentNullException.ThrowIfNull(ink);
        var text = new CheckText(output, subject, report, ink);
        text.WriteVerdict();
        text.WriteModules();
        if (change is not null)
        {
            ChangeText.Write(output, change, ink);
        }

        text.WriteEvidence();
        text.WriteSubject();
    }

    private void WriteVerdict()
    {
        output.WriteLine(Called(report.Verdict).Shown);
        Paragraph.Write(output, VerdictReason.Of(report, subject), "", 0);
        if (JudgedWords.Of(report) is { } judged)
        {
            Paragraph.Write(output, judged, "", 0);
        }

        output.WriteLine();
    }

    private void WriteModules()
    {
        if (report.Modules.Count == 0)
        {
            return;
        }

        // A state that no message of any module is in takes no room; fresh stands there even when nothing is.
        MessageState[] states = [.. Columned.Where(state => state == MessageState.Fresh || report.Modules.Any(module => module.In(state) > 0))];
        var table = new Columns(["module", "verdict", .. states.Select(state => ">" + Words.Of(state)), "worst"]);
        foreach (var module in report.Modules)
        {
            var worst = module.Worst is { } index && module.Verdict != Verdict.Go ? report.Messages[index].Name() : "";
            table.Add(
            [
                CleanText.Clean(module.Definition.Title),
                module is { Alive: null, Verdict: Verdict.Go } && module.Needs() == 0 ? "needs nothing" : Called(module.Verdict),
                .. states.Select(state => (Cell)Figures.Count(module.In(state))),
                CleanText.Clean(worst),
            ]);
        }

        table.Write(output, ink);
        output.WriteLine();
    }

    // A finding that starves several modules is told in full under the first; the others point to it by name. What the verdict is made of comes first, and a whole bus
    // before what may follow from it.
    private void WriteEvidence()
    {
        var told = new HashSet<Finding>(ReferenceEqualityComparer.Instance);
        var modules = report.Modules
            .Select(module => (module.Definition.Title, IsGo: module.Verdict == Verdict.Go, Own: report.Findings.Where(finding => finding.Severity != FindingSeverity.Note && finding.Modules.Contains(module.Definition.Name)).ToList()))
            .Where(module => module.Own.Count > 0)
            .OrderByDescending(module => module.Own[0].Severity)
            .ThenBy(module => module.IsGo)
            .ThenByDescending(module => module.Own[0].IsOfTheBus);
        foreach (var (title, _, own) in modules)
        {
            output.WriteLine(ink.Strong(CleanText.Clean(title)));
            var known = own.Where(told.Contains).ToList();
            var isKnownFirst = told.Contains(own[0]);
            if (isKnownFirst)
            {
                WriteKnown(known);
            }

            own.Where(told.Add).ToList().ForEach(WriteFinding);
            if (!isKnownFirst)
            {
                WriteKnown(known);
            }

            output.WriteLine();
        }

        var rest = report.Findings.Where(finding => !told.Contains(finding)).ToList();
        if (rest.Count > 0)
        {
            output.WriteLine(ink.Strong(report.Modules.Count == 0 ? "Findings" : "Beside the modules"));
            rest.ForEach(WriteFinding);
            output.WriteLine();
        }
    }

    private void WriteKnown(List<Finding> known)
    {
        if (known.Count > 0)
        {
            var names = string.Join(", ", known.Select(finding => finding is { IsOfTheBus: true, Bus: { } bus } ? $"bus {bus}" : finding.Message ?? finding.Code).Distinct());
            Paragraph.Write(output, CleanText.Clean($"as above: {names}"), "  ", 4);
        }
    }

    private void WriteFinding(Finding finding) =>
        Paragraph.Write(output, CleanText.Clean(finding.Text), $"  {Words.Of(finding.Severity),-7}  ", 11);

    private void WriteSubject()
    {
        var duration = (report.Now - report.First)?.ToString();
        Paragraph.Write(
            output,
            CleanText.Clean($"{subject.Source}: {Figures.Of(report.Frames, "frame")}{(duration is null ? "" : $" in {duration}")}{(subject.IsBrokenOff ? ", broken off" : "")}"),
            "Checked  ",
            9);
        if (subject.Definitions is { } definitions)
        {
            Paragraph.Write(output, CleanText.Clean(subject.Title is { } title ? $"{definitions} ({title})" : definitions), "against  ", 9);
        }

        foreach (var bus in report.Buses)
        {
            var errors = bus.ErrorFrames == 0 ? "" : $", {Figures.Of(bus.ErrorFrames, "error report")}";
            Paragraph.Write(
                output,
                CleanText.Clean($"{bus.Name}: {(bus.IsSilent ? "silent, " : "")}{Figures.Of(bus.Frames - bus.ErrorFrames, "frame")} of {Figures.Of(bus.Identifiers, "identifier")}{errors}"),
                ReferenceEquals(bus, report.Buses[0]) ? "buses    " : "         ",
                9);
        }

        if (subject.Problems.Count > 0)
        {
            output.WriteLine();
            output.WriteLine(ink.Strong("Problems of the source"));
            ProblemList.Write(output, subject.Problems, 2);
        }
    }

    private Cell Called(Verdict verdict)
    {
        var word = Words.Called(verdict);
        return new Cell(word, verdict switch
        {
            Verdict.Go => ink.Good(word),
            Verdict.NoGo => ink.Bad(word),
            _ => ink.Open(word),
        });
    }
}
