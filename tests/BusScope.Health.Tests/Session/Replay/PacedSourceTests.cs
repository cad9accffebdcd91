using BusScope.Frames;
using BusScope.Session.Replay;
using BusScope.TestKit;
using Microsoft.Extensions.Time.Testing;
using Xunit;

namespace BusScope.Health.Tests.Session.Replay;

public sealed class PacedSourceTests
{
    private static readonly Bus[] OneBus = [new("chassis")];
    private readonly FakeTimeProvider time = new();
    private readonly ReplayPace pace;

    public PacedSourceTests() => pace = new ReplayPace(time);

    [Fact]
    public void The_first_frame_comes_at_once_and_the_next_when_its_time_has_come()
    {
        var source = Recording(0, 100, 200);

        Assert.Equal([0], Read(source));
        Pass(99);
        Assert.Empty(Read(source));
        Pass(2);
        Assert.Equal([100], Read(source));
        Pass(500);
        Assert.Equal([200], Read(source));
        Assert.Equal(SourceState.Ended, source.Read(new FrameBatch(), TestContext.Current.CancellationToken));
    }

    [Theory]
    [InlineData(10, 10)]
    [InlineData(0.1, 1_000)]
    [InlineData(100, 1)]
    public void Speed_divides_the_waiting(double speed, int milliseconds)
    {
        pace.Speed = speed;
        var source = Recording(0, 100);
        Read(source);

        Pass(milliseconds - 0.5);
        Assert.Empty(Read(source));
        Pass(1);
        Assert.Equal([100], Read(source));
    }

    [Theory]
    [InlineData(0, ReplayPace.Slowest)]
    [InlineData(1_000, ReplayPace.Fastest)]
    [InlineData(double.NaN, 1)]
    [InlineData(ReplayPace.AsFastAsPossible, ReplayPace.AsFastAsPossible)]
    public void A_speed_is_brought_within_the_limits(double asked, double given)
    {
        pace.Speed = asked;

        Assert.Equal(given, pace.Speed);
    }

    [Fact]
    public void As_fast_as_possible_waits_for_nothing()
    {
        pace.Speed = ReplayPace.AsFastAsPossible;

        Assert.Equal([0, 100, 9_000_000], Read(Recording(0, 100, 9_000_000)));
    }

    [Fact]
    public void A_change_of_speed_counts_from_now_on()
    {
        var source = Recording(0, 1_000);
        Read(source);
        Pass(500);

        pace.Speed = 10;
        Pass(49);
        Assert.Empty(Read(source));
        Pass(2);
        Assert.Equal([1_000], Read(source));
    }

    [Fact]
    public void Standing_still_lets_nothing_through_however_long_it_lasts()
    {
        var source = Recording(0, 100);
        Read(source);

        pace.IsPaused = true;
        Pass(60_000);

        Assert.Empty(Read(source));
        Assert.Equal(Timeout.InfiniteTimeSpan, source.UntilNext);
        pace.IsPaused = false;
        Pass(101);
        Assert.Equal([100], Read(source));
    }

    [Fact]
    public void A_step_lets_one_frame_through_and_stands_still()
    {
        var source = Recording(0, 100, 100, 200);
        Read(source);

        pace.StepFrame();

        Assert.Equal([100], Read(source));
        Assert.Equal([100], Read(source));
        Assert.Empty(Read(source));
        Assert.True(pace.IsPaused);
    }

    [Fact]
    public void A_step_of_a_second_lets_its_frames_through_and_stands_still()
    {
        var source = Recording(0, 400, 1_000, 1_001);
        Read(source);

        pace.StepTime(FrameSpan.FromSeconds(1));

        Assert.Equal([400, 1_000], Read(source));
        Pass(10_000);
        Assert.Empty(Read(source));
    }

    [Fact]
    public void A_clock_that_steps_back_is_followed()
    {
        var source = Recording(60_000, 0, 100);
        Read(source);

        Assert.Equal([0], Read(source));
        Pass(99);
        Assert.Empty(Read(source));
        Pass(2);
        Assert.Equal([100], Read(source));
    }

    [Fact]
    public void A_gap_of_an_hour_is_not_waited_for()
    {
        var source = Recording(0, 3_600_000);
        Read(source);

        Assert.Equal([3_600_000], Read(source));
    }

    [Fact]
    public void Time_does_not_run_past_a_frame_that_waits_behind_another_bus()
    {
        var source = Recording(0, 300, 50);
        Read(source);

        Pass(100);
        Read(source);

        Assert.Equal(Some.Frame(1, milliseconds: 50).Time, source.Now);
    }

    [Fact]
    public void At_a_hundred_times_the_speed_a_slow_turn_brings_all_that_is_due()
    {
        pace.Speed = 100;
        var source = Recording([.. Enumerable.Range(0, 1_000).Select(i => i * 10.0)]);
        Read(source);

        Pass(20);

        Assert.Equal(200, Read(source).Length);
    }

    [Fact]
    public void Time_does_not_run_past_the_frames_when_the_machine_is_slower_than_the_pace()
    {
        var source = Recording([.. Enumerable.Range(0, 1_000).Select(i => i * 10.0)]);
        Read(source);

        Pass(5_000);
        Read(source);

        Assert.Equal(Some.Frame(1, milliseconds: 2_550).Time, source.Now);
    }

    [Fact]
    public void Comments_stay_with_their_frames()
    {
        var batch = new FrameBatch();
        var source = new PacedSource(new NotedSource(), pace);

        source.Read(batch, TestContext.Current.CancellationToken);
        Pass(100);
        source.Read(batch, TestContext.Current.CancellationToken);

        Assert.Equal(new FrameNote(0, "here it failed"), Assert.Single(batch.Notes));
    }

    private PacedSource Recording(params double[] milliseconds) =>
        new(new ListSource(OneBus, [.. milliseconds.Select(at => Some.Frame(1, milliseconds: at))]), pace);

    private static double[] Read(PacedSource source)
    {
        var batch = new FrameBatch();
        var state = source.Read(batch, TestContext.Current.CancellationToken);
        Assert.Equal(batch.Count > 0 ? SourceState.Frames : SourceState.Idle, state);
        return [.. batch.Frames.ToArray().Select(frame => frame.Time.Nanoseconds / 1e6)];
    }

    private void Pass(double milliseconds) => time.Advance(TimeSpan.FromMilliseconds(milliseconds));

    private sealed class NotedSource : IFrameSource
    {
        private bool isRead;

        public string Name => "noted";

        public IReadOnlyList<Bus> Buses => OneBus;

        public Frames.Diagnostics.ProblemLog Problems { get; } = new();

        public double? Progress => null;

        public SourceState Read(FrameBatch batch, CancellationToken cancellation)
        {
            batch.Clear();
            if (isRead)
            {
                return SourceState.Ended;
            }

            isRead = true;
            batch.Add() = Some.Frame(1);
            batch.Add() = Some.Frame(2, milliseconds: 100);
            batch.Note("here it failed");
            return SourceState.Frames;
        }

        public void Dispose()
        {
        }
    }
}
