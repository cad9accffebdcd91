using BusScope.Frames;
using Xunit;

namespace BusScope.Demo.Tests;

public sealed class SourceTests
{
    [Fact]
    public void The_same_seed_gives_the_same_frames()
    {
        var first = Recording.Read(DemoSource.Open("good-start"));
        var second = Recording.Read(DemoSource.Open("good-start"));

        Assert.Equal(first.Select(Text), second.Select(Text));
    }

    [Fact]
    public void Another_seed_gives_other_frames()
    {
        var first = Recording.Read(DemoSource.Open("good-start"));
        var second = Recording.Read(DemoSource.Open("good-start", new DemoOptions { Seed = 25 }));

        Assert.NotEqual(first.Select(Text), second.Select(Text));
    }

    [Fact]
    public void Frames_come_in_order_of_time_over_all_buses()
    {
        var frames = Recording.Of("healthy").Frames;

        Assert.All(frames.Zip(frames.Skip(1)), pair => Assert.True(pair.First.Time <= pair.Second.Time));
    }

    [Fact]
    public void An_endless_drive_goes_on_after_its_end()
    {
        using var source = DemoSource.Open("healthy", new DemoOptions { IsEndless = true, From = 70, To = 72 });

        var frames = Recording.Read(source);

        Assert.True(frames.Count > 2000, $"{frames.Count} frames");
        Assert.InRange(Recording.At(frames[0]), 70, 70.01);
    }

    [Fact]
    public void An_unknown_story_is_refused_with_the_names_of_all()
    {
        var refusal = Assert.Throws<SourceException>(() => DemoSource.Open("sunday-trip"));

        Assert.Contains("healthy, swapped, good-start", refusal.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Every_signal_of_the_definitions_has_a_value_and_no_value_lacks_its_signal()
    {
        var signals = DemoDefinitions.Load().Definitions!.Messages.SelectMany(m => m.Signals).Select(s => s.Name).Order();

        Assert.Equal(signals, Senders.SignalValues.Dunlin.Keys.Concat(Senders.SignalValues.Texts.Keys).Order());
    }

    private static string Text(Frame frame) => $"{frame.Time} {frame.Bus} {frame.Id} {frame.Kinds} {Convert.ToHexString(frame.Data)}";
}
