using BusScope.Frames;
using Xunit;

namespace BusScope.Demo.Tests;

public sealed class BusTests(ITestOutputHelper output)
{
    [Theory]
    [InlineData("chassis", 30, 60)]
    [InlineData("cabin", 10, 40)]
    [InlineData("race", 2, 15)]
    public void The_load_is_that_of_a_real_bus(string bus, double least, double most)
    {
        var recording = Recording.Of("healthy");
        var rate = recording.Buses.Single(b => b.Name == bus).BitRate!.Value;

        var bits = recording.On(bus).Where(f => Recording.At(f) is >= 10 and < 50).Sum(f => Wires.FrameBits.Of(f) + 3.0);

        output.WriteLine($"{bus}: {bits / 40 / rate * 100:F1} %");
        Assert.InRange(bits / 40 / rate * 100, least, most);
    }

    [Theory]
    [InlineData("healthy")]
    [InlineData("swapped")]
    [InlineData("launch")]
    public void No_frame_begins_before_the_one_before_it_has_ended(string story)
    {
        var recording = Recording.Of(story);

        foreach (var bus in recording.Buses)
        {
            var bit = FrameSpan.NanosecondsPerSecond / bus.BitRate!.Value;
            var freeAt = long.MinValue;
            foreach (var frame in recording.On(bus.Name).Where(f => !f.IsErrorReport))
            {
                Assert.True(frame.Time.Nanoseconds - (Wires.FrameBits.Of(frame) * bit) >= freeAt, $"{bus.Name} at {frame.Time}");
                freeAt = frame.Time.Nanoseconds + (3 * bit);
            }
        }
    }
}
