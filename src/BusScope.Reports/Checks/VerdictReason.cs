using BusScope.Frames.Diagnostics;
using BusScope.Health;
using BusScope.Reports.Layout;

namespace BusScope.Reports.Checks;

/// <summary>The verdict in one sentence, the same in every form of the report.</summary>
internal static class VerdictReason
{
    /// <summary>Why it is what it is; what the source did not give comes first, since no verdict speaks of that.</summary>
    public static string Of(HealthReport report, RunSubject subject) => Gap(report, subject) + Of(report);

    // docs/health.md, Verdict: a cut source is never GO; rows that were passed over are told beside whatever was said.
    private static string Gap(HealthReport report, RunSubject subject)
    {
        var skipped = subject.Problems.Where(problem => problem.Kind.SkipsFrames).ToList();
        var cut = subject.Failure is { } failure ? $"The source failed before its end: {Sentence(failure)} "
            : report.Interruption is { } interruption ? $"The source is not whole: {Sentence(interruption)} "
            : "";
        return skipped.Count == 0 ? cut
            : $"{cut}{Figures.Of(skipped.Sum(problem => problem.Count), "row or block", "rows or blocks")} of the source could not be read{(skipped[0].First.ToString() is { Length: > 0 } place ? $", first at {place}" : "")}; what was in there is not judged. ";
    }

    private static string Sentence(string text) => CleanText.Clean(text.TrimEnd('.')) + ".";

    private static string Of(HealthReport report)
    {
        if (report.Frames == 0)
        {
            return "Not one frame was received: nothing can be said about the car.";
        }

        if (report.Verdict == Verdict.Go)
        {
            return report.Modules.Count == 0
                ? "Every message arrives as expected. The definitions name no modules."
                : $"{AllOf(report.Modules.Count)} everything that is expected of the bus.";
        }

        var failing = report.Modules.Count(module => module.Verdict == Verdict.NoGo);
        if (report.Verdict == Verdict.NoGo)
        {
            return failing == 0
                ? "Something that is needed does not arrive as expected."
                : $"{failing} of {Figures.Of(report.Modules.Count, "module")} {(failing == 1 ? "does" : "do")} not get what {(failing == 1 ? "it lives" : "they live")} on.";
        }

        var open = report.Modules.Count(module => module.Verdict == Verdict.Inconclusive);
        return open == 0
            ? "The frames do not suffice for a verdict."
            : $"The frames do not suffice for a verdict on {open} of {Figures.Of(report.Modules.Count, "module")}.";
    }

    private static string AllOf(int modules) => modules == 1 ? "The module gets" : $"All {modules} modules get";
}
