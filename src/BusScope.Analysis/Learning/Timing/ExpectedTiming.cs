using BusScope.Frames;

namespace BusScope.Analysis.Learning.Timing;

/// <summary>Late and stale times that leave the measured spread alone.</summary>
internal static class ExpectedTiming
{
    private const double Margin = 1.5;
    private const double NearlyLate = 1.1;

    // The loader's own choice from the period (docs/signal-definitions.md), which stands unless the spread needs more.
    private const double LatePeriods = 1.5;
    private const double StalePeriods = 5;
    private const double MostPeriods = 10;
    private static readonly FrameSpan ShortestCap = FrameSpan.FromSeconds(1);
    private static readonly FrameSpan LateFloor = FrameSpan.FromMilliseconds(5);
    private static readonly FrameSpan StaleFloor = FrameSpan.FromMilliseconds(100);

    /// <summary>The times for a period, and whether each is wider than usual.</summary>
    public static (FrameSpan LateAfter, FrameSpan StaleAfter, bool IsLateWidened, bool IsStaleWidened) Of(FrameSpan period, MeasuredGaps measured)
    {
        var late = Longer(period * LatePeriods, period + LateFloor);
        var stale = Longer(Longer(period * StalePeriods, StaleFloor), late);

        // A check warns when 1 % are late; another capture will have a somewhat wider spread. A pause of the recording among few gaps is none of the message's.
        var spread = Shorter(measured.P99, measured.Longest);
        var neededLate = spread * NearlyLate > late ? Shorter(Rounded(spread * Margin), Cap(period)) : late;

        // Some room beyond the longest gap, since the next capture will have a longer one.
        var neededStale = Longer(measured.Longest * Margin > stale ? Shorter(Rounded(measured.Longest * Margin), Cap(period)) : stale, neededLate);
        return (neededLate, neededStale, neededLate > late, neededStale > stale);
    }

    /// <summary>No spread widens a time beyond this: a message that fails for longer is not there.</summary>
    public static FrameSpan Cap(FrameSpan period) => Longer(period * MostPeriods, ShortestCap);

    private static FrameSpan Shorter(FrameSpan a, FrameSpan b) => a < b ? a : b;

    private static FrameSpan Longer(FrameSpan a, FrameSpan b) => a > b ? a : b;

    /// <summary>Up to two significant digits.</summary>
    public static FrameSpan Rounded(FrameSpan span)
    {
        var unit = Math.Pow(10, Math.Floor(Math.Log10(span.Milliseconds)) - 1);
        return FrameSpan.FromMilliseconds(Math.Ceiling(span.Milliseconds / unit) * unit);
    }
}
