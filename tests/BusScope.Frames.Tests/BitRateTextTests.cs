using Xunit;

namespace BusScope.Frames.Tests;

public class BitRateTextTests
{
    [Theory]
    [InlineData(500_000, "500 kbit/s")]
    [InlineData(83_333, "83.333 kbit/s")]
    [InlineData(33_333, "33.333 kbit/s")]
    [InlineData(1_000_000, "1 Mbit/s")]
    [InlineData(1_234_000, "1.234 Mbit/s")]
    [InlineData(1_234_567, "1234.567 kbit/s")]
    [InlineData(999, "999 bit/s")]
    public void It_is_exact_in_the_largest_unit_that_needs_three_decimals(long rate, string text) => Assert.Equal(text, BitRateText.Of(rate));

    [Fact]
    public void The_rate_of_the_data_phase_stands_behind_it() => Assert.Equal("500 kbit/s + 2 Mbit/s", BitRateText.Of(500_000, 2_000_000));
}
