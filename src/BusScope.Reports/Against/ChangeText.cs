using System.Globalization;
using BusScope.Frames.Diagnostics;
using BusScope.Health;
using BusScope.Reports.Layout;

namespace BusScope.Reports.Against;

/// <summary>What changed since an earlier check, for a person.</summary>
internal static class ChangeText
{
    /// <summary>Writes it: verdict, modules, what is new, what is gone, what is still there.</summary>
    public static void Write(TextWriter output, CheckChange change, Ink ink)
    {
        output.WriteLine(ink.Strong(CleanText.Clean($"Since {change.Earlier.Name}")));
        foreach (var line in Lines(change))
        {
            Paragraph.Write(output, CleanText.Clean(line.Text), $"  {line.What,-7}  ", 11);
        }

        output.WriteLine();
    }

    /// <summary>Every line, with the word in front of it.</summary>
    public static IEnumerable<(string What, string Text)> Lines(CheckChange change)
    {
        if (change.Definitions is { } definitions)
        {
            yield return ("note", string.Create(CultureInfo.InvariantCulture, $"the definitions are not those of that check: of their messages {definitions.NoLonger} are no longer there, {definitions.New} are new, {definitions.Changed} have another period, counter or checksum"));
        }

        yield return ("verdict", change.Earlier.Verdict == change.Now ? $"{Words.Called(change.Now)}, as before" : $"{Words.Called(change.Earlier.Verdict)} before, {Words.Called(change.Now)} now");
        foreach (var module in change.Modules)
        {
            yield return ("module", $"{module.Title}: {Called(module.Before)} before, {Called(module.Now)} now");
        }

        foreach (var finding in change.New.Where(finding => finding.Severity != FindingSeverity.Note))
        {
            yield return ("new", $"{Words.Of(finding.Severity)}: {finding.Text}");
        }

        foreach (var finding in change.Gone.Where(finding => finding.Severity != FindingSeverity.Note))
        {
            yield return ("gone", $"{Words.Of(finding.Severity)}: {finding.Text}");
        }

        foreach (var finding in change.Unseen.Where(finding => finding.Severity != FindingSeverity.Note))
        {
            yield return ("unseen", $"{Words.Of(finding.Severity)}, not looked at this time: {finding.Text}");
        }

        foreach (var finding in change.Still.Where(IsChanged))
        {
            var was = finding.Before.Severity == finding.Now.Severity ? "" : $", was a {Words.Of(finding.Before.Severity)}";
            var often = finding.Trend switch
            {
                FindingTrend.MoreOften => $", more often than before ({Figures.Of(finding.Before.Count!.Value, "time")} then)",
                FindingTrend.LessOften => $", less often than before ({Figures.Of(finding.Before.Count!.Value, "time")} then)",
                _ => "",
            };
            yield return ("still", $"{Words.Of(finding.Now.Severity)}{was}{often}: {finding.Now.Text}");
        }

        if (Unchanged(change) is { } unchanged)
        {
            yield return ("still", unchanged);
        }

        if (change.Now == Verdict.Inconclusive && change.Gone.Count > 0)
        {
            yield return ("note", "this check is inconclusive: what is gone may only not have been seen");
        }
    }

    // What a note counts, as identifiers that nobody claims, is no matter of better or worse.
    private static bool IsChanged(LastingFinding finding) =>
        finding.Before.Severity != finding.Now.Severity || (finding.Trend != FindingTrend.Same && finding.Now.Severity != FindingSeverity.Note);

    private static string Called(Verdict? verdict) => verdict is { } known ? Words.Called(known) : "not known";

    private static string? Unchanged(CheckChange change)
    {
        long CountOf(FindingSeverity severity) => change.Still.Count(finding => finding.Now.Severity == severity && !IsChanged(finding));
        var (faults, warnings) = (CountOf(FindingSeverity.Fault), CountOf(FindingSeverity.Warning));
        return faults + warnings == 0
            ? null
            : string.Create(CultureInfo.InvariantCulture, $"{Figures.Of(faults, "fault")} and {Figures.Of(warnings, "warning")} as before");
    }
}
