using BusScope.Cli.Options;
using BusScope.Frames;
using Xunit;

namespace BusScope.App.Tests.Commands;

public class QuantityTests
{
    [Theory]
    [InlineData("500k", 500_000L)]
    [InlineData("1M", 1_000_000L)]
    [InlineData("83.333k", 83_333L)]
    [InlineData("125000", 125_000L)]
    [InlineData("500 kbit/s", 500_000L)]
    [InlineData("0", null)]
    [InlineData("-5k", null)]
    [InlineData("21M", null)]
    [InlineData("k", null)]
    [InlineData("", null)]
    public void A_bit_rate_is_read(string text, long? expected) => Assert.Equal(expected, Quantity.BitRate(text));

    [Theory]
    [InlineData("60s", 60.0)]
    [InlineData("500ms", 0.5)]
    [InlineData("1.5 min", 90.0)]
    [InlineData("60", null)]
    [InlineData("s", null)]
    [InlineData("0s", null)]
    [InlineData("25 h", null)]
    public void A_length_of_time_is_read(string text, double? seconds) =>
        Assert.Equal(seconds is { } known ? FrameSpan.FromSeconds(known) : null, Quantity.Span(text));
}
