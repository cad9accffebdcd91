using BusScope.Frames;
using BusScope.Health.Tests.Checks;
using BusScope.Session;
using BusScope.Session.Replay;
using BusScope.TestKit;
using Microsoft.Extensions.Time.Testing;
using Xunit;

namespace BusScope.Health.Tests.Session.Replay;

/// <summary>What a person at the screen can do with a recording that can be read more than once.</summary>
public sealed class SessionJumpTests : IDisposable
{
    private readonly FakeTimeProvider time = new();
    private readonly ReplayPace pace;
    private readonly MonitorSession session;
    private MonitorSession? slowly;
    private readonly Frame[] frames = [.. Car.Healthy(10).Without(0x0C8, from: 6).Frames.OrderBy(frame => frame.Time)];

    public SessionJumpTests()
    {
        pace = new ReplayPace(time) { IsPaused = true };
        session = new MonitorSession(Open(), Car.Monitor(), pace, time, Open);
    }

    public void Dispose() => session.Dispose();

    [Fact]
    public void A_jump_before_the_recording_was_read_that_far_waits_and_says_so()
    {
        Pass(5);
        session.JumpTo(At(8));
        Pass(5);
        Assert.Equal(At(8), session.Current.GoingTo);
        Assert.InRange(session.Current.Health.Frames, 0, 10);

        Survey();
        Pass(10);

        Assert.Null(session.Current.GoingTo);
        Assert.Equal(At(8), session.Current.Health.Now);
        Assert.Equal(frames.Count(frame => frame.Time <= At(8)), session.Current.Health.Frames);
        Assert.Contains(session.Current.Events, happened => happened.Text == "Engine on chassis went stale");
        Assert.True(session.Current.IsPaused);
    }

    [Fact]
    public void While_it_is_under_way_to_a_moment_it_says_so_and_no_longer_when_it_is_there()
    {
        var goingTo = new List<FrameTime?>();
        using var slow = new MonitorSession(Open(), Car.Monitor(), pace, time, () =>
        {
            goingTo.Add(slowly?.Current.GoingTo);
            return Open();
        });
        slowly = slow;
        slow.ReadAhead(TestContext.Current.CancellationToken);
        Assert.NotNull(slow.Turn(TestContext.Current.CancellationToken));

        foreach (var seconds in (double[])[7, 3, 3])
        {
            slow.JumpTo(At(seconds));
            for (var turn = 0; turn < 5; turn++)
            {
                time.Advance(TimeSpan.FromMilliseconds(60));
                slow.Turn(TestContext.Current.CancellationToken);
            }

            Assert.Equal((null, At(seconds)), (slow.Current.GoingTo, slow.Current.Health.Now));
        }

        // Opened to be read ahead, and to go back; on from where it stands it goes without.
        Assert.Equal([null, At(3)], goingTo);
    }

    [Fact]
    public void Going_back_takes_back_what_happened_but_no_mark()
    {
        Survey();
        session.JumpTo(At(9));
        Pass(10);
        session.Mark("it stood still");

        session.JumpTo(At(3));
        Pass(10);

        Assert.Equal(At(3), session.Current.Health.Now);
        Assert.DoesNotContain(session.Current.Events, happened => happened.Text.Contains("stale", StringComparison.Ordinal));
        Assert.DoesNotContain(session.Current.Events, happened => happened.IsMark);
        Assert.Equal(At(9), Assert.Single(session.Current.Marks).At);
    }

    [Fact]
    public void From_the_end_one_can_go_back()
    {
        Survey();
        session.JumpTo(At(1_000));
        Pass(10);
        Assert.True(session.Current.HasEnded);
        Assert.Equal(frames.Length, session.Current.Health.Frames);
        Assert.Equal(Timeout.InfiniteTimeSpan, session.Turn(TestContext.Current.CancellationToken));

        session.JumpTo(At(-1));
        Pass(10);

        Assert.False(session.Current.HasEnded);
        Assert.Equal(frames.Count(frame => frame.Time <= frames[0].Time), session.Current.Health.Frames);
    }

    [Fact]
    public void After_a_jump_it_goes_on_at_the_same_speed()
    {
        Survey();
        pace.IsPaused = false;
        Pass(5);
        session.JumpTo(At(5));
        Pass(1);

        Pass(100);

        Assert.InRange((session.Current.Health.Now!.Value - At(5)).Seconds, 0.9, 1.05);
    }

    [Theory]
    [InlineData(1)]
    [InlineData(ReplayPace.AsFastAsPossible)]
    public void A_part_is_replayed_over_and_over_until_somebody_takes_it_away(double speed)
    {
        Survey();
        session.JumpTo(At(2));
        session.Repeat(new ReplayLoop(At(2), At(3)));
        Pass(10);
        pace.Speed = speed;
        pace.IsPaused = false;

        var (wentBack, before) = (0, At(2));
        for (var i = 0; i < 350; i++)
        {
            Pass(1);
            var now = session.Current.Health.Now!.Value;
            Assert.InRange(now.Seconds, 2, 3);
            wentBack += now < before ? 1 : 0;
            before = now;
        }

        // As fast as possible the whole part passes between two snapshots.
        Assert.True(wentBack >= 3 || double.IsInfinity(speed));
        session.Repeat(null);
        Pass(600);
        Assert.True(session.Current.Health.Now > At(3));
    }

    [Fact]
    public void A_step_back_stands_still_one_frame_before()
    {
        Survey();
        session.JumpTo(At(5));
        Pass(10);
        var before = session.Current.Health.Frames;

        session.StepBack();
        Pass(10);

        Assert.Equal(before - 1, session.Current.Health.Frames);
        Assert.True(session.Current.IsPaused);
    }

    [Fact]
    public void What_the_survey_found_is_shown_also_while_the_replay_stands_still()
    {
        Pass(10);
        Assert.False(session.Current.Survey!.IsOver);

        Survey();
        Pass(10);

        Assert.Equal(new RecordedStretch(frames[0].Time, frames[^1].Time), session.Current.Survey!.Whole);
        Assert.NotEmpty(session.Current.Survey.Findings);
    }

    [Fact]
    public void A_recording_that_cannot_be_opened_again_says_why_and_goes_on_where_it_stands()
    {
        var opened = 0;
        using var gone = new MonitorSession(Open(), Car.Monitor(), pace, time, () => ++opened == 1 ? Open() : throw new SourceException("drive.pcapng: does not exist"));
        gone.ReadAhead(TestContext.Current.CancellationToken);
        gone.Turn(TestContext.Current.CancellationToken);

        gone.StepBack();
        time.Advance(TimeSpan.FromSeconds(1));
        gone.JumpTo(At(5));
        gone.Turn(TestContext.Current.CancellationToken);
        gone.JumpTo(At(3));
        time.Advance(TimeSpan.FromSeconds(1));
        gone.Turn(TestContext.Current.CancellationToken);

        Assert.Equal("drive.pcapng: does not exist", gone.Current.JumpFailure);
        Assert.False(gone.Current.HasEnded);
    }

    [Fact]
    public void What_stood_in_the_way_is_said_no_longer_once_one_gets_where_one_wants()
    {
        var opened = 0;
        using var gone = new MonitorSession(Open(), Car.Monitor(), pace, time, () => ++opened == 1 ? Open() : throw new SourceException("drive.pcapng: does not exist"));
        gone.ReadAhead(TestContext.Current.CancellationToken);
        Pass(gone, 10);
        gone.JumpTo(At(1));
        Pass(gone, 10);
        gone.JumpTo(At(0.5));
        Pass(gone, 10);
        Assert.Equal("drive.pcapng: does not exist", gone.Current.JumpFailure);

        gone.JumpTo(At(2));
        Pass(gone, 10);

        Assert.Equal((null, At(2)), (gone.Current.JumpFailure, gone.Current.Health.Now));
    }

    [Fact]
    public void Where_the_survey_could_not_begin_no_jump_is_under_way_for_ever()
    {
        using var gone = new MonitorSession(Open(), Car.Monitor(), pace, time, () => throw new SourceException("drive.pcapng: does not exist"));
        gone.ReadAhead(TestContext.Current.CancellationToken);
        Pass(gone, 10);

        gone.JumpTo(new FrameTime(long.MaxValue));
        Pass(gone, 10);

        Assert.Equal((null, "drive.pcapng: does not exist"), (gone.Current.GoingTo, gone.Current.JumpFailure));
    }

    [Fact]
    public void At_the_end_of_a_source_that_fails_one_sees_all_up_to_there_and_why_it_ended()
    {
        using var failing = new MonitorSession(Failing(), Car.Monitor(), pace, time, Failing);
        failing.ReadAhead(TestContext.Current.CancellationToken);
        Pass(failing, 10);

        failing.JumpTo(At(1_000));
        Pass(failing, 10);

        Assert.Equal((true, FailingSource.Why, null), (failing.Current.HasEnded, failing.Current.Failure, failing.Current.JumpFailure));
        Assert.Equal(1_500, failing.Current.Health.Frames);
        Assert.NotEqual(Verdict.Go, failing.Current.Health.Verdict);
        failing.JumpTo(At(1));
        Pass(failing, 10);
        Assert.Equal((false, null, At(1)), (failing.Current.HasEnded, failing.Current.Failure, failing.Current.Health.Now));

        FailingSource Failing() => new(Open(), frames: 1_500);
    }

    [Fact]
    public void Whoever_stands_still_at_the_end_stays_there_though_a_part_is_to_be_repeated()
    {
        Survey();
        session.Repeat(new ReplayLoop(At(2), At(3)));

        session.JumpTo(At(1_000));
        Pass(20);

        Assert.True(session.Current.HasEnded);
        pace.IsPaused = false;
        Pass(10);
        Assert.InRange(session.Current.Health.Now!.Value.Seconds, 2, 3);
    }

    [Fact]
    public void A_part_whose_recording_is_gone_is_repeated_no_more()
    {
        var opened = 0;
        using var gone = new MonitorSession(Open(), Car.Monitor(), pace, time, () => ++opened == 1 ? Open() : throw new SourceException("drive.pcapng: does not exist"));
        gone.ReadAhead(TestContext.Current.CancellationToken);
        gone.Repeat(new ReplayLoop(At(1), At(2)));
        pace.Speed = ReplayPace.AsFastAsPossible;
        pace.IsPaused = false;

        Pass(gone, 100);

        Assert.Equal(2, opened);
        Assert.Equal((null, "drive.pcapng: does not exist"), (gone.Current.Loop, gone.Current.JumpFailure));
    }

    [Fact]
    public void Steps_back_that_come_faster_than_they_are_taken_all_count()
    {
        Survey();
        session.JumpTo(At(5));
        Pass(10);
        var before = session.Current.Health.Frames;

        session.StepBack();
        session.StepBack();
        session.StepBack();
        Pass(10);

        Assert.Equal(before - 3, session.Current.Health.Frames);
    }

    [Fact]
    public void What_is_wanted_while_one_is_under_way_is_not_forgotten()
    {
        var opened = 0;
        MonitorSession? under = null;
        using var way = under = new MonitorSession(Open(), Car.Monitor(), pace, time, () =>
        {
            if (++opened == 2)
            {
                under!.StepBack();
                under.StepBack();
            }

            return Open();
        });
        way.ReadAhead(TestContext.Current.CancellationToken);
        Pass(way, 10);
        way.JumpTo(At(5));
        Pass(way, 10);

        way.JumpTo(At(3));
        Pass(way, 10);

        Assert.Equal(frames.Count(frame => frame.Time <= At(3)) - 2, way.Current.Health.Frames);
    }

    private ListSource Open() => new(Car.Buses, frames, saysPlaces: true);

    private void Survey() => session.ReadAhead(TestContext.Current.CancellationToken);

    private void Pass(int turns) => Pass(session, turns);

    private void Pass(MonitorSession session, int turns)
    {
        for (var i = 0; i < turns; i++)
        {
            session.Turn(TestContext.Current.CancellationToken);
            time.Advance(TimeSpan.FromMilliseconds(10));
        }

        // What was not published in time is by now.
        session.Turn(TestContext.Current.CancellationToken);
    }

    private static FrameTime At(double seconds) => new(FrameSpan.FromSeconds(seconds).Nanoseconds);
}
