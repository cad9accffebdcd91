using BusScope.Frames;

namespace BusScope.Analysis.Learning;

/// <summary>Late and stale times that leave the measured spread alone.</summary>
internal static class ExpectedTiming
{
    private const double Margin = 1.5;

    // The loader's own choice from the period (docs/signal-definitions.md), which stands unless the spread needs more.
    private static readonly FrameSpan LateFloor = FrameSpan.FromMilliseconds(5);
    private static readonly FrameSpan StaleFloor = FrameSpan.FromMilliseconds(100);

    // A gap beyond this many periods is a pause (ignition off, a cut), not spread.
    private const double Pause = 20;

    /// <summary>Wider times, or null where the usual ones are wide enough.</summary>
    public static (FrameSpan LateAfter, FrameSpan StaleAfter)? Widened(FrameSpan period, (FrameSpan Median, FrameSpan P05, FrameSpan P95, FrameSpan Longest)? measured)
    {
        if (measured is not { } m)
        {
            return null;
        }

        var late = Longer(period * 1.5, period + LateFloor);
        var stale = Longer(Longer(period * 5, StaleFloor), late);
        var neededLate = Longer(late, Rounded(m.P95 * Margin));
        var neededStale = m.Longest > period * Pause ? stale : Longer(stale, Rounded(m.Longest * Margin));
        return neededLate > late || neededStale > stale ? (neededLate, Longer(neededStale, neededLate)) : null;
    }

    private static FrameSpan Longer(FrameSpan a, FrameSpan b) => a > b ? a : b;

    /// <summary>Up to two significant digits.</summary>
    private static FrameSpan Rounded(FrameSpan span)
    {
        var unit = Math.Pow(10, Math.Floor(Math.Log10(span.Milliseconds)) - 1);
        return FrameSpan.FromMilliseconds(Math.Ceiling(span.Milliseconds / unit) * unit);
    }
}
