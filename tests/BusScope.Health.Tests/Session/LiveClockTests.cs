using BusScope.Frames;
using BusScope.Session;
using BusScope.TestKit;
using Microsoft.Extensions.Time.Testing;
using Xunit;

namespace BusScope.Health.Tests.Session;

public sealed class LiveClockTests
{
    private static readonly FrameBatch Nothing = new();
    private readonly FakeTimeProvider time = new(new DateTimeOffset(2026, 1, 2, 3, 4, 5, TimeSpan.Zero));

    [Fact]
    public void Before_the_first_frame_our_own_clock_counts_where_it_stamps_the_frames()
    {
        Assert.Equal(OurNow, new LiveClock(time, SourceClock.Ours).Now);
        Assert.Null(new LiveClock(time, SourceClock.Theirs).Now);
    }

    [Theory]
    [InlineData(SourceClock.Ours)]
    [InlineData(SourceClock.Theirs)]
    public void While_frames_come_it_is_the_time_of_the_latest_however_long_they_waited(SourceClock stamps)
    {
        var clock = new LiveClock(time, stamps);
        clock.Saw(Batch(1_000, 1_010, 1_005));

        time.Advance(TimeSpan.FromSeconds(5));

        Assert.Equal(At(1_010), clock.Now);
    }

    [Fact]
    public void In_silence_our_own_clock_goes_on_where_it_stamps_the_frames()
    {
        var clock = new LiveClock(time, SourceClock.Ours);
        clock.Saw(Batch((OurNow - At(0)).Milliseconds));

        time.Advance(TimeSpan.FromSeconds(5));
        clock.Saw(Nothing);

        Assert.Equal(OurNow, clock.Now);
    }

    [Fact]
    public void In_silence_the_clock_of_another_machine_is_carried_on_by_ours()
    {
        var clock = new LiveClock(time, SourceClock.Theirs);
        clock.Saw(Batch(1_000, 1_010, 1_005));

        time.Advance(TimeSpan.FromMilliseconds(250));
        clock.Saw(Nothing);

        Assert.InRange((clock.Now!.Value - At(1_010)).Milliseconds, 245, 250);
    }

    [Fact]
    public void A_stored_capture_that_stops_in_the_pipe_is_no_silent_bus()
    {
        var clock = new LiveClock(time, SourceClock.Theirs);
        clock.Saw(Batch(0));
        time.Advance(TimeSpan.FromMilliseconds(1));
        clock.Saw(Batch(60_000));

        time.Advance(TimeSpan.FromSeconds(10));
        clock.Saw(Nothing);

        Assert.Equal(At(60_000), clock.Now);
    }

    [Fact]
    public void A_clock_that_is_slower_than_ours_makes_no_silence_in_hours()
    {
        var clock = new LiveClock(time, SourceClock.Theirs);
        var theirs = 0.0;

        // 100 ppm, more than two quartz clocks differ (common practice of the trade), for six hours.
        for (var i = 0; i < 6 * 3_600; i++)
        {
            clock.Saw(Batch(theirs));
            time.Advance(TimeSpan.FromSeconds(1));
            theirs += 1_000 - 0.1;
        }

        clock.Saw(Nothing);
        Assert.InRange((clock.Now!.Value - At(theirs)).Milliseconds, -1, 5);
    }

    [Fact]
    public void A_clock_that_was_set_back_is_followed()
    {
        var clock = new LiveClock(time, SourceClock.Theirs);
        clock.Saw(Batch(100_000));

        clock.Saw(Batch(5_000));

        Assert.Equal(At(5_000), clock.Now);
    }

    private FrameTime OurNow => new(time.GetUtcNow().ToUnixTimeMilliseconds() * 1_000_000);

    private static FrameTime At(double milliseconds) => Some.Frame(1, milliseconds: milliseconds).Time;

    private static FrameBatch Batch(params double[] milliseconds)
    {
        var batch = new FrameBatch();
        foreach (var at in milliseconds)
        {
            batch.Add() = Some.Frame(1, milliseconds: at);
        }

        return batch;
    }
}
