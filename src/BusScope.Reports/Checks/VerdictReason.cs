using BusScope.Health;
using BusScope.Reports.Layout;

namespace BusScope.Reports.Checks;

/// <summary>The verdict in one sentence, the same in every form of the report.</summary>
internal static class VerdictReason
{
    /// <summary>Why it is what it is.</summary>
    public static string Of(HealthReport report)
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
