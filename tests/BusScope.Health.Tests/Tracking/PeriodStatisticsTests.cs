using BusScope.Health.Tracking;
using CsCheck;
using Xunit;

namespace BusScope.Health.Tests.Tracking;

public class PeriodStatisticsTests
{
    // The gaps of traffic: microseconds to seconds, a constant share among them, some steps back.
    private static readonly Gen<long[]> Gaps =
        Gen.OneOf(
            Gen.Long[0, 300],
            Gen.Long[1, 20_000_000_000],
            Gen.Double[0, 20].Select(power => (long)Math.Pow(10, power * 0.9)),
            Gen.Const(10_000_000L),
            Gen.Long[9_900_000, 10_100_000],
            Gen.Long[-1_000_000, -1]).Array[0, 700];

    [Fact]
    public void Quantiles_are_those_of_an_exact_sort_within_one_part_in_128() => Gaps.Sample(gaps =>
    {
        var statistics = new PeriodStatistics();
        foreach (var part in gaps.Chunk(37))
        {
            Add(statistics, part);
        }

        var sorted = gaps.Where(gap => gap >= 0).Order().ToArray();
        Assert.Equal(sorted.Length, statistics.Count);
        if (sorted.Length == 0)
        {
            return;
        }

        var error = sorted.Length <= PeriodStatistics.ExactCapacity ? 0 : 1.0 / 128;
        Assert.Equal(sorted[0], statistics.Shortest);
        Assert.Equal(sorted[^1], statistics.Longest);

        // A gap of more than 2^50 ns, thirteen days, counts as so long.
        var mean = sorted.Average(gap => Math.Min(gap, 1L << 50));
        Assert.Equal(mean, statistics.Mean, mean * 1e-12);
        Close(sorted[Math.Max(0, (int)Math.Ceiling(0.05 * sorted.Length) - 1)], statistics.Quantile(0.05), error);
        Close(sorted[(int)Math.Ceiling(0.95 * sorted.Length) - 1], statistics.Quantile(0.95), error);
        Close((sorted[(sorted.Length - 1) / 2] + sorted[sorted.Length / 2]) / 2.0, statistics.Median(), error);
    });

    [Fact]
    public void The_figures_of_a_report_are_those_of_all_gaps_by_now() => Gaps.Sample(gaps =>
    {
        var statistics = new PeriodStatistics();
        Assert.Equal(new PeriodFigures(), statistics.Figures);
        foreach (var part in gaps.Chunk(37))
        {
            Add(statistics, part);
            if (statistics.Count > 0)
            {
                Assert.Equal(
                    (statistics.Quantile(0.05), statistics.Median(), statistics.Quantile(0.95), statistics.Longest),
                    (statistics.Figures.P05!.Value.Nanoseconds, statistics.Figures.Median!.Value.Nanoseconds, statistics.Figures.P95!.Value.Nanoseconds, statistics.Figures.Longest!.Value.Nanoseconds));
                Assert.Same(statistics.Figures, statistics.Figures);
            }
        }
    });

    [Fact]
    public void A_distribution_counts_every_gap_once_and_in_its_step_as_exactly_as_gaps_are_kept() => Gaps.Where(gaps => gaps.Any(gap => gap >= 0)).Sample(gaps =>
    {
        var statistics = new PeriodStatistics();
        Add(statistics, gaps);

        var distribution = GapDistribution.Of(statistics)!;

        var kept = gaps.Where(gap => gap >= 0).ToArray();
        Assert.Equal(kept.Length, distribution.Counts.Sum() + distribution.Shorter + distribution.Longer);
        Assert.Equal(statistics.Median(), distribution.Median.Nanoseconds);
        Assert.InRange(distribution.Shorter + distribution.Longer, 0, Math.Max(2, kept.Length / 20));
        if (kept.Length > PeriodStatistics.ExactCapacity)
        {
            return;
        }

        for (var i = 0; i < distribution.Counts.Count; i++)
        {
            var (from, until) = (distribution.From + (distribution.Step * i), distribution.From + (distribution.Step * (i + 1)));
            Assert.Equal(kept.Count(gap => gap >= from.Nanoseconds && gap < until.Nanoseconds), distribution.Counts[i]);
        }
    });

    [Fact]
    public void Of_a_constant_period_a_step_of_the_distribution_is_one_per_cent_and_the_median_begins_the_thirteenth()
    {
        var statistics = new PeriodStatistics();
        Add(statistics, [.. Enumerable.Repeat(10_000_000L, 114), 8_000_000, 9_899_998, 9_899_999, 10_100_000, 10_100_001, 13_000_000]);

        var distribution = GapDistribution.Of(statistics)!;

        Assert.Equal(100_001, distribution.Step.Nanoseconds);
        Assert.Equal((1L, 1L), (distribution.Shorter, distribution.Longer));
        Assert.Equal([1, 1, 115, 1], distribution.Counts.Skip(10).Take(4));
    }

    [Fact]
    public void There_is_no_distribution_before_the_first_gap() => Assert.Null(GapDistribution.Of(new PeriodStatistics()));

    [Fact]
    public void A_constant_period_reads_exactly_however_many_gaps_there_are()
    {
        var statistics = new PeriodStatistics();

        for (var i = 0; i < 100; i++)
        {
            Add(statistics, Enumerable.Repeat(10_000_123L, 100).ToArray());
        }

        Assert.Equal(10_000, statistics.Count);
        Assert.Equal(10_000_123, statistics.Median());
        Assert.Equal(10_000_123, statistics.Quantile(0.05));
        Assert.Equal(10_000_123, statistics.Quantile(0.95));
    }

    [Fact]
    public void Gaps_across_a_step_back_of_time_are_left_out()
    {
        var statistics = new PeriodStatistics();

        Add(statistics, [10, -500, 20]);

        Assert.Equal(2, statistics.Count);
        Assert.Equal(15, statistics.Median());
    }

    [Fact]
    public void Extreme_gaps_are_counted_without_a_fault()
    {
        var statistics = new PeriodStatistics();

        Add(statistics, [.. Enumerable.Repeat(long.MaxValue, 300), 0, 1]);

        Assert.Equal(302, statistics.Count);
        Assert.Equal(long.MaxValue, statistics.Longest);
        Assert.Equal(0, statistics.Shortest);
    }

    private static void Add(PeriodStatistics statistics, long[] gaps) => statistics.Add(gaps, GapRange.Of(gaps));

    private static void Close(double expected, long actual, double error) =>
        Assert.True(Math.Abs(expected - actual) <= (error * expected) + 1, $"expected {expected}, was {actual}");
}
