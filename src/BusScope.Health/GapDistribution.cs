using BusScope.Frames;
using BusScope.Health.Tracking;

namespace BusScope.Health;

/// <summary>
/// How the gaps between the frames of one message lie around their median: counted in steps of equal length, those outside
/// apart. The steps reach as far as the middle 98 % of the gaps do, and 12 % of the median at least, since gaps are kept to 0.8 %
/// of their length only.
/// </summary>
/// <param name="From">Where the first step begins.</param>
/// <param name="Step">The length of a step.</param>
/// <param name="Counts">Gaps in each step.</param>
/// <param name="Shorter">Gaps shorter than the first step.</param>
/// <param name="Longer">Gaps longer than the last.</param>
/// <param name="Median">The median.</param>
public sealed record GapDistribution(FrameSpan From, FrameSpan Step, IReadOnlyList<long> Counts, long Shorter, long Longer, FrameSpan Median)
{
    /// <summary>How many steps.</summary>
    public const int Steps = 24;

    private const double LeastReach = 0.12;

    /// <summary>Where the last step ends.</summary>
    public FrameSpan Until => From + (Step * Counts.Count);

    /// <summary>The distribution of what was counted, or null before the first gap.</summary>
    internal static GapDistribution? Of(PeriodStatistics periods)
    {
        if (periods.Count == 0)
        {
            return null;
        }

        var median = periods.Median();
        var reach = Math.Max((long)(median * LeastReach), Math.Max(periods.Quantile(0.99) - median, median - periods.Quantile(0.01)));

        // The farthest of them belongs into the last step, not behind it.
        var step = (reach / (Steps / 2)) + 1;
        var from = Math.Max(0, median - (step * (Steps / 2)));
        var counts = new long[Steps];
        var (shorter, longer) = periods.Spread(from, step, counts);
        return new GapDistribution(new FrameSpan(from), new FrameSpan(step), counts, shorter, longer, new FrameSpan(median));
    }
}
