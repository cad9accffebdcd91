using BusScope.Analysis.Learning;
using Xunit;

namespace BusScope.Analysis.Tests.Learning;

public class ConstantTests
{
    [Fact]
    public void Digits_that_never_changed_are_constant_up_to_the_last_of_them() =>
        Assert.Equal("01 -- A- 0-", Learn(100, i => [1, (byte)((i << 4) | (i & 15)), (byte)(0xA0 | (i & 1)), (byte)(i & 8), (byte)(i * 0x11)]).Constant?.ToString());

    [Fact]
    public void A_payload_in_which_every_digit_changed_has_nothing_constant() => Assert.Null(Learn(100, i => [(byte)(i * 0x11)]).Constant);

    [Theory]
    [InlineData(31, false)]
    [InlineData(32, true)]
    public void Few_frames_say_nothing_of_what_never_changes(int frames, bool claims) => Assert.Equal(claims, Learn(frames, _ => [7]).Constant is not null);

    [Fact]
    public void Frames_of_another_length_leave_nothing_that_is_constant() => Assert.Null(Learn(100, i => i == 50 ? [7] : [7, 8]).Constant);

    [Fact]
    public void What_is_another_constant_in_another_capture_is_none()
    {
        static SentMessage[] Sent(byte mode) => [new SentMessage(0x100, LearnedCar.Every(10, 0, 1000), _ => [0x12, mode])];

        Assert.Equal("12 3-", LearnedCar.OfCaptures(Sent(0x34), Sent(0x35)).Messages[0].Constant?.ToString());
    }

    private static LearnedMessage Learn(int frames, Func<int, byte[]> payload)
    {
        var number = 0;
        return LearnedCar.Of(new SentMessage(0x100, Enumerable.Range(0, frames).Select(i => i * 10.0), _ => payload(number++))).Messages[0];
    }
}
