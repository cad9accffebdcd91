using BusScope.Analysis.Learning;
using Xunit;

namespace BusScope.Analysis.Tests.Learning;

public class LifeTests
{
    // Byte 0 and byte 1 take turns, so that neither lives all the time, but the payload does; byte 2 counts, byte 3 copies the counter.
    [Fact]
    public void A_payload_lives_as_a_whole_and_its_counter_and_copies_of_it_are_no_life()
    {
        var random = new Random(3);

        var learned = Learn(1000, i => [(byte)(i / 100 % 2 == 0 ? random.Next(64) : 5), (byte)(i / 100 % 2 == 0 ? 7 : random.Next(256)), (byte)i, (byte)i]);

        Assert.Equal("3FFF", Convert.ToHexString(learned.Lives.Span));
    }

    [Fact]
    public void A_payload_that_rests_once_or_has_a_counter_alone_is_not_demanded_to_live()
    {
        var random = new Random(3);

        Assert.True(Learn(1000, i => [(byte)(i is > 400 and < 490 ? 7 : random.Next(256)), (byte)i, 0]).Lives.IsEmpty);
        Assert.True(Learn(1000, i => [5, (byte)i, 0]).Lives.IsEmpty);
        Assert.True(Learn(1000, i => [(byte)random.Next(8), (byte)i, 0]).Lives.IsEmpty);
    }

    [Theory]
    [InlineData(513, 10, true)]
    [InlineData(512, 10, false)]
    [InlineData(256, 50, false)]
    [InlineData(257, 50, true)]
    [InlineData(2000, 1, false)]
    public void Too_short_a_time_says_nothing_of_life(int frames, double period, bool claims)
    {
        var random = new Random(4);

        var learned = Learn(frames, _ => [(byte)random.Next(256), 0], period);

        Assert.Equal(claims, learned.Lives.Length > 0);
    }

    [Fact]
    public void What_lives_in_one_capture_and_rests_in_another_is_not_demanded()
    {
        var random = new Random(5);
        SentMessage Sent(bool lives) => new(0x100, LearnedCar.Every(10, 0, 10_000), _ => [(byte)(lives ? random.Next(256) : 5), 0]);

        Assert.Equal("FF", Convert.ToHexString(LearnedCar.OfCaptures([Sent(true)], [Sent(true)]).Messages[0].Lives.Span));
        Assert.True(LearnedCar.OfCaptures([Sent(true)], [Sent(false)]).Messages[0].Lives.IsEmpty);
    }

    // Byte 1 was equal to the resting byte 0 but for one move in a hundred frames; bytes 2 and 3 are a sensor and its inverted twin.
    [Fact]
    public void Neither_a_sensor_with_an_inverted_twin_nor_what_hardly_differs_from_a_constant_falls_out()
    {
        var random = new Random(3);
        var value = 0;

        var learned = Learn(1000, i => [5, (byte)(i % 150 == 7 ? random.Next(256) : 5), (byte)(value += random.Next(9) + 1), (byte)~value]);

        Assert.Equal("FFFF", Convert.ToHexString(learned.Lives.Span[2..]));
        Assert.Equal([3], learned.Copies.Select(copy => copy.Byte));
        Assert.NotEqual(0, learned.Lives.Span[1]);
    }

    private static LearnedMessage Learn(int frames, Func<int, byte[]> payload, double period = 10)
    {
        var number = 0;
        return LearnedCar.Of(new SentMessage(0x100, Enumerable.Range(0, frames).Select(i => i * period), _ => payload(number++))).Messages[0];
    }
}
