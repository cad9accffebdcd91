using BusScope.Frames;
using BusScope.Session.Readings;
using CsCheck;
using Xunit;

namespace BusScope.Health.Tests.Session;

public sealed class TraceRingTests
{
    private static readonly FrameTime Start = new(1_700_000_000L * FrameSpan.NanosecondsPerSecond);

    [Fact]
    public void Each_column_holds_the_range_of_the_values_that_came_in_its_time()
    {
        // Independent model: every value is kept, and each column looks through all of them.
        var value = Gen.Select(Gen.Int[0, 9_000], Gen.Double[-1e3, 1e3]);
        Gen.Select(value.List[1, 200], Gen.Int[1, 120], Gen.Int[0, 3]).Sample((values, columns, extra) =>
        {
            var trace = TraceRing.Fine();
            var taken = values.OrderBy(each => each.Item1).Select(each => (At: Start + FrameSpan.FromMilliseconds(each.Item1), Value: (float)each.Item2)).ToList();
            taken.ForEach(each => trace.Take(each.At, new TraceBin(each.Value, each.Value)));
            var now = taken[^1].At + FrameSpan.FromMilliseconds(extra * 7);
            var found = new TraceBin[columns];

            trace.Fill(now, FrameSpan.FromMilliseconds(80), found, 1, out var before);

            var length = 80L * FrameSpan.NanosecondsPerMillisecond;
            var last = now.Nanoseconds / length;
            for (var column = 0; column < columns; column++)
            {
                var meant = taken.Where(each => each.At.Nanoseconds / length == last - columns + 1 + column).ToList();
                Assert.Equal(meant.Count > 0 ? meant.Min(each => each.Value) : float.NaN, found[column].Smallest);
                Assert.Equal(meant.Count > 0 ? meant.Max(each => each.Value) : float.NaN, found[column].Largest);
            }

            var earlier = taken.Where(each => each.At.Nanoseconds / length < last - columns + 1).ToList();
            Assert.Equal(earlier.Count > 0, before.HasValue);
            if (earlier.Count > 0)
            {
                Assert.InRange(earlier[^1].Value, before.Smallest, before.Largest);
            }
        });
    }

    [Fact]
    public void A_long_window_reaches_back_seventeen_minutes_and_no_further()
    {
        var trace = TraceRing.Coarse();
        for (var second = 0; second < 2_000; second++)
        {
            trace.Take(Start + FrameSpan.FromSeconds(second), new TraceBin(second, second));
        }

        var columns = new TraceBin[2_000];
        trace.Fill(Start + FrameSpan.FromSeconds(1_999), TraceRing.CoarseBin, columns, 1, out _);

        Assert.Equal(1_999, columns[^1].Largest);
        Assert.Equal(1_024, columns.Count(column => column.HasValue));
        Assert.False(columns[1_999 - 1_024].HasValue);
        Assert.Equal(1_999 - 1_023, columns[1_999 - 1_023].Largest);
    }

    [Fact]
    public void A_value_out_of_order_finds_its_column_and_a_clock_set_back_begins_anew()
    {
        var trace = TraceRing.Coarse();
        var columns = new TraceBin[10];
        trace.Take(Start + FrameSpan.FromSeconds(5), new TraceBin(1, 1));
        trace.Take(Start + FrameSpan.FromSeconds(2), new TraceBin(7, 7));
        trace.Fill(Start + FrameSpan.FromSeconds(5), TraceRing.CoarseBin, columns, 1, out _);
        Assert.Equal(7, columns[6].Largest);
        Assert.Equal(1, columns[9].Largest);

        trace.Take(new FrameTime(0), new TraceBin(3, 3));
        trace.Fill(new FrameTime(0), TraceRing.CoarseBin, columns, 1, out var before);
        Assert.Equal(3, columns[9].Largest);
        Assert.Equal(1, columns.Count(column => column.HasValue));
        Assert.False(before.HasValue);
    }

    [Fact]
    public void A_trace_that_moves_by_steps_stands_still_while_its_end_fills()
    {
        var trace = TraceRing.Coarse();
        var columns = new TraceBin[8];
        for (var second = 0; second < 14; second++)
        {
            trace.Take(Start + FrameSpan.FromSeconds(second), new TraceBin(second, second));
            var (end, ahead) = trace.Fill(Start + FrameSpan.FromSeconds(second), TraceRing.CoarseBin, columns, 4, out _);

            // 1,700,000,000 is a whole multiple of four: columns end at 4, 8, 12, 16.
            var last = (second / 4 * 4) + 3;
            Assert.Equal((Start + FrameSpan.FromSeconds(last + 1), last - second), (end, ahead));
            Assert.Equal(second, columns[7 - ahead].Largest);
            Assert.All(columns[(8 - ahead)..], column => Assert.False(column.HasValue));
            Assert.Equal(last - 7 >= 0 ? last - 7 : float.NaN, columns[0].Largest);
        }
    }

    [Fact]
    public void Times_before_the_epoch_are_times()
    {
        var trace = TraceRing.Coarse();
        var columns = new TraceBin[4];
        trace.Take(new FrameTime(-2_500_000_000), new TraceBin(1, 1));
        trace.Take(new FrameTime(-1_500_000_000), new TraceBin(2, 2));
        trace.Take(new FrameTime(500_000_000), new TraceBin(4, 4));

        trace.Fill(new FrameTime(500_000_000), TraceRing.CoarseBin, columns, 1, out _);

        Assert.Equal([1f, 2f, float.NaN, 4f], columns.Select(column => column.Largest));
    }
}
