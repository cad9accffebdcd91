using BusScope.Health.Tracking;
using CsCheck;
using Xunit;

namespace BusScope.Health.Tests.Tracking;

public class GapRangeTests
{
    [Fact]
    public void The_gap_before_each_frame_is_its_time_less_the_one_before() =>
        Gen.Select(Gen.Long[-1_000_000, 2_000_000].Array[1, 40], Gen.Long[-1, 5_000]).Sample((times, first) =>
        {
            var gaps = new long[times.Length];

            var range = GapRange.Write(first, times, gaps);

            long[] expected = [first, .. times.Zip(times.Skip(1), (earlier, later) => later - earlier)];
            Assert.Equal(expected, gaps);
            Assert.Equal(new GapRange(expected.Min(), expected.Max()), range);
        });
}
