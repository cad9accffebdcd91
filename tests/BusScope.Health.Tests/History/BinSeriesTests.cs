using BusScope.Health.History;
using BusScope.TestKit;
using CsCheck;
using Xunit;

namespace BusScope.Health.Tests.History;

/// <summary>Whatever the times are, the bins hold every frame at its time: compared with a plain list of all frames.</summary>
public class BinSeriesTests
{
    private static readonly Gen<long> Time = Gen.OneOf(
        Gen.Long[0, 10_000_000],
        Gen.Long[-5_000_000_000, 5_000_000_000],
        Gen.Long[1_778_000_000_000_000_000, 1_778_000_100_000_000_000],
        Gen.Long[long.MinValue, long.MaxValue]);

    [Fact]
    public void Every_frame_stands_in_the_bin_of_its_time() =>
        Time.Array[1, 60].Sample(times =>
        {
            var series = new BinSeries<GapBin>();
            foreach (var time in times)
            {
                series.At(time).Add(-1);
            }

            var bins = series.Recorded()!;

            Assert.InRange(bins.Bins.Count, 1, BinSeries<GapBin>.Capacity);
            Assert.True(Int128.Abs(bins.Start.Nanoseconds) % bins.Width.Nanoseconds == 0);
            for (var i = 0; i < bins.Bins.Count; i++)
            {
                // Exact numbers: the last bin may reach beyond the range of a long.
                var from = bins.Start.Nanoseconds + ((Int128)i * bins.Width.Nanoseconds);
                Assert.Equal(times.Count(time => time >= from && time < from + bins.Width.Nanoseconds), (int)bins.Bins[i].Frames);
            }
        });

    [Fact]
    public void Bins_are_no_wider_than_they_must_be() =>
        Gen.Long[0, 4_000_000_000].Array[2, 60].Sample(times =>
        {
            var series = new BinSeries<GapBin>();
            foreach (var time in times)
            {
                series.At(time).Add(-1);
            }

            var bins = series.Recorded()!;

            // At the narrowest, or so that half the width would not have sufficed.
            var half = bins.Width.Nanoseconds / 2;
            Assert.True(bins.Width.Nanoseconds == 1 << 20 || (times.Max() / half) - (times.Min() / half) >= BinSeries<GapBin>.Capacity);
        });

    [Fact]
    public void Joined_bins_say_the_same_of_their_gaps_as_all_gaps_together() =>
        (from gaps in Gen.Long[-1, 100_000_000].Array[1, 200] from step in Gen.Long[1, 50_000_000] select (gaps, step)).Sample((gaps, step) =>
        {
            var series = new BinSeries<GapBin>();
            for (var i = 0; i < gaps.Length; i++)
            {
                series.At(i * step).Add(gaps[i]);
            }

            var bins = series.Recorded()!;

            for (var i = 0; i < bins.Bins.Count; i++)
            {
                var (from, until) = (bins.StartOf(i).Nanoseconds, bins.StartOf(i + 1).Nanoseconds);
                var seconds = gaps.Where((gap, n) => gap >= 0 && n * step >= from && n * step < until).Select(gap => gap / 1e9f).ToList();
                Assert.Equal((uint)seconds.Count, bins.Bins[i].Gaps);
                if (seconds.Count > 0)
                {
                    var bin = bins.Bins[i];
                    Assert.Equal((seconds[0], seconds.Min(), seconds.Max(), seconds[^1]), (bin.First, bin.Shortest, bin.Longest, bin.Last));
                }
            }
        });

    [Fact]
    public void A_bin_costs_no_memory_once_the_series_stands()
    {
        var series = new BinSeries<GapBin>();
        var time = 0L;

        Assert.Equal(0, Allocation.Of(() =>
        {
            for (var i = 0; i < 20_000; i++, time += 3_000_000)
            {
                series.At(time).Add(3_000_000);
            }
        }));
    }
}
