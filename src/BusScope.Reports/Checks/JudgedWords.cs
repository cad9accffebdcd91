using BusScope.Health;
using BusScope.Reports.Layout;

namespace BusScope.Reports.Checks;

/// <summary>How much a verdict rests on, the same in every form of the report.</summary>
internal static class JudgedWords
{
    /// <summary>In one or two sentences; null where nothing is defined.</summary>
    public static string? Of(HealthReport report)
    {
        var judged = report.Judged;
        if (judged.Defined == 0)
        {
            return null;
        }

        var unread = judged.Defined - judged.ByContent;
        return $"Judged: {Figures.Of(judged.Defined, "message")}, {Figures.Count(judged.ByTime)} by time and {Figures.Count(judged.ByContent)} by content; {Figures.Count(judged.ByNeither)} by neither."
            + (unread == 0 ? "" : $" What the {(unread == 1 ? "payload" : "payloads")} of {Figures.Count(unread)} {(unread == 1 ? "says" : "say")} is not judged.");
    }
}
