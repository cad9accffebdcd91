using BusScope.Frames;
using BusScope.Session;
using BusScope.TestKit;
using Microsoft.Extensions.Time.Testing;
using Xunit;

namespace BusScope.Health.Tests.Session;

public sealed class LiveClockTests
{
    private readonly FakeTimeProvider time = new(new DateTimeOffset(2026, 1, 2, 3, 4, 5, TimeSpan.Zero));

    [Fact]
    public void Before_the_first_frame_our_own_clock_counts_where_it_stamps_the_frames()
    {
        Assert.Equal(new FrameTime(time.GetUtcNow().ToUnixTimeMilliseconds() * 1_000_000), new LiveClock(time, stampsAreOurs: true).Now);
        Assert.Null(new LiveClock(time, stampsAreOurs: false).Now);
    }

    [Fact]
    public void Time_goes_on_from_the_latest_frame()
    {
        var clock = new LiveClock(time, stampsAreOurs: false);
        clock.Saw(Batch(1_000, 1_010, 1_005));

        time.Advance(TimeSpan.FromMilliseconds(250));

        Assert.Equal(Some.Frame(1, milliseconds: 1_260).Time, clock.Now);
    }

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
