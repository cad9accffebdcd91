using System.Globalization;
using BusScope.Frames;

namespace BusScope.Reports.Layout;

/// <summary>Figures as a person reads them; a missing one is a dash, never 0.</summary>
public static class Figures
{
    private const string Missing = "-";

    /// <summary><c>39,546</c>.</summary>
    public static string Count(long count) => count.ToString("N0", CultureInfo.InvariantCulture);

    /// <summary><c>52.8 %</c>.</summary>
    public static string PerCent(double? percent) =>
        percent is { } known && double.IsFinite(known) ? known.ToString("0.0", CultureInfo.InvariantCulture) + " %" : Missing;

    /// <summary>Milliseconds with two decimals, <c>10.01</c>; from ten seconds on whole ones.</summary>
    public static string Milliseconds(FrameSpan? span) =>
        span is not { } known ? Missing
        : known.Milliseconds.ToString(Math.Abs(known.Milliseconds) < 10_000 ? "0.00" : "0", CultureInfo.InvariantCulture);

    /// <summary>Seconds with three decimals, <c>1.970</c>.</summary>
    public static string Seconds(FrameSpan? span) =>
        span is { } known ? known.Seconds.ToString("0.000", CultureInfo.InvariantCulture) : Missing;

    /// <summary><c>1 frame</c>, <c>2 frames</c>.</summary>
    public static string Of(long count, string one, string? many = null) => $"{Count(count)} {(count == 1 ? one : many ?? one + "s")}";
}
