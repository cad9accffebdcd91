using BusScope.Frames;
using BusScope.Health.Tests.Checks;
using BusScope.Session.Replay;
using BusScope.TestKit;
using CsCheck;
using Microsoft.Extensions.Time.Testing;
using Xunit;

namespace BusScope.Health.Tests.Session.Replay;

/// <summary>Whoever jumps to a moment of a recording sees what somebody sees who replayed it up to there.</summary>
public sealed class JumpTests
{
    private readonly FakeTimeProvider time = new();
    private readonly HealthMonitor fresh = Car.Monitor();

    [Fact]
    public void After_jumps_to_any_moments_all_is_as_in_a_replay_that_got_there_by_itself() => Cases.Sample(
        one =>
        {
            using var jumps = Jumps(one);
            jumps.Survey.Run(CancellationToken.None);
            var run = Run(one);
            foreach (var moment in one.Moments)
            {
                jumps.Wanted = moment;
                run = jumps.Obey(run, hasEnded: false, CancellationToken.None);

                var expected = Run(one);
                expected.RunTo(Goal.At(jumps.Survey.Current.Find(moment, run.Standing.Stretch)!.Value), CancellationToken.None);
                Same(expected, run);
            }

            // And it goes on as that one does, to the very end.
            var whole = Run(one);
            whole.RunTo(Goal.At(Moment.End), CancellationToken.None);
            run.RunTo(Goal.At(Moment.End), CancellationToken.None);
            Same(whole, run);
        },
        iter: 25);

    [Fact]
    public void What_happened_does_not_depend_on_the_pace() => Cases.Sample(
        one =>
        {
            var fast = Run(one);
            var pace = new ReplayPace(time) { IsPaused = true };
            var slow = new ReplayRun(Open(one), fresh.Copy(), pace);
            var dice = new Random(one.Frames.Length);

            while (slow.Turn(CancellationToken.None) != SourceState.Ended)
            {
                if (dice.Next(4) == 0)
                {
                    pace.StepFrame();
                }
                else
                {
                    pace.StepTime(FrameSpan.FromMilliseconds(dice.Next(700)));
                }
            }

            fast.RunTo(Goal.At(Moment.End), CancellationToken.None);
            Assert.Equal(fast.Events.Latest(), slow.Events.Latest());
            Assert.Equal(Dump.Of(fast.Report(isFinal: true)), Dump.Of(slow.Report(isFinal: true)));
        },
        iter: 15);

    [Fact]
    public void A_jump_reads_from_the_last_checkpoint_and_not_from_the_beginning()
    {
        var one = new Case([.. Car.Healthy(60).Frames.OrderBy(frame => frame.Time)], [], SaysPlaces: true);
        var read = 0L;
        using var jumps = new ReplayJumps(() => new CountedSource(Open(one), count => read += count), fresh.Plan, fresh.Options, new ReplayPace(time), time);
        jumps.Survey.Run(CancellationToken.None);
        Assert.InRange(jumps.Survey.Checkpoints.Count, 5, 256);
        read = 0;

        jumps.Wanted = At(50);
        var run = jumps.Obey(Run(one), hasEnded: false, CancellationToken.None);

        Assert.Equal(one.Frames.Count(frame => frame.Time <= At(50)), run.Standing.Frames);
        Assert.InRange(read, 1, 4_000);
    }

    [Fact]
    public void A_frame_back_is_the_state_before_the_latest_frame()
    {
        var one = new Case([.. Car.Healthy(10).Frames.OrderBy(frame => frame.Time)], [], SaysPlaces: true);
        using var jumps = Jumps(one);
        jumps.Survey.Run(CancellationToken.None);
        var run = Run(one);
        run.RunTo(Goal.After(1_000), CancellationToken.None);

        jumps.BackByFrame();
        run = jumps.Obey(run, hasEnded: false, CancellationToken.None);

        var expected = Run(one);
        expected.RunTo(Goal.After(999), CancellationToken.None);
        Same(expected, run);
    }

    [Fact]
    public void The_survey_knows_the_stretches_the_events_and_the_findings_of_the_whole()
    {
        Frame[] first = [.. Car.Healthy(4).Without(0x0C8, from: 2).Frames.OrderBy(frame => frame.Time)];
        var one = new Case([.. first, .. Car.Healthy(2).Frames.OrderBy(frame => frame.Time)], [], SaysPlaces: true);
        using var jumps = Jumps(one);

        jumps.Survey.Run(CancellationToken.None);

        var survey = jumps.Survey.Current;
        Assert.True(survey.IsOver);
        Assert.Equal(2, survey.Stretches.Count);
        Assert.Null(survey.Whole);
        Assert.InRange(survey.Stretches[0].Last.Seconds, 3.9, 4);
        Assert.InRange(survey.Stretches[1].Last.Seconds, 1.9, 2);
        Assert.Contains(survey.Events, happened => happened.Text == "Engine on chassis went stale");
    }

    [Fact]
    public void Buses_whose_clocks_stand_apart_are_one_stretch()
    {
        var one = new Case(Apart([.. Car.Healthy(8).Frames.OrderBy(frame => frame.Time)], 45_000), [], SaysPlaces: true);
        using var jumps = Jumps(one);

        jumps.Survey.Run(CancellationToken.None);

        var whole = jumps.Survey.Current.Whole;
        Assert.NotNull(whole);
        Assert.InRange(whole.Last.Seconds, 52.9, 53);
        var run = Run(one);
        run.RunTo(Goal.At(Moment.End), CancellationToken.None);
        Assert.InRange(run.Looks, 10, 100);
    }

    [Fact]
    public void A_clock_that_is_set_back_with_every_frame_costs_no_more_than_the_stretches_that_are_told_apart()
    {
        Frame[] healthy = [.. Car.Healthy(40).Frames.OrderBy(frame => frame.Time).Where(frame => frame.Bus == 0)];
        var one = new Case([.. healthy.Select((frame, index) => Later(frame, index % 2 * 60_000))], [], SaysPlaces: true);
        using var jumps = Jumps(one);

        jumps.Survey.Run(CancellationToken.None);

        Assert.Equal(Passage.MostStretches, jumps.Survey.Current.Stretches.Count);
        var run = Run(one);
        run.RunTo(Goal.At(Moment.End), CancellationToken.None);
        Assert.Equal(one.Frames.Length, run.Standing.Frames);
        Assert.InRange(run.Looks, 0, 25 * Passage.MostStretches);
    }

    [Fact]
    public void A_survey_that_fails_midway_tells_what_it_found_up_to_there()
    {
        var one = new Case([.. Car.Healthy(12).Without(0x0C8, from: 2).Frames.OrderBy(frame => frame.Time)], [], SaysPlaces: true);
        using var jumps = new ReplayJumps(() => new FailingSource(Open(one), frames: 700), fresh.Plan, fresh.Options, new ReplayPace(time), time);

        jumps.Survey.Run(CancellationToken.None);

        var survey = jumps.Survey.Current;
        Assert.True(survey.IsOver);
        Assert.Equal(FailingSource.Why, survey.Failure);
        Assert.Equal(one.Frames.Take(700).Max(frame => frame.Time), Assert.Single(survey.Stretches).Last);
        Assert.Contains(survey.Events, happened => happened.Text == "Engine on chassis went stale");
        Assert.Contains(survey.Findings, finding => finding is { Message: "Engine", Severity: FindingSeverity.Fault });
        Assert.InRange(survey.Progress!.Value, 0.1, 0.9);
    }

    [Fact]
    public void The_way_to_a_moment_is_given_up_when_another_one_is_wanted()
    {
        var one = new Case([.. Car.Healthy(20).Frames.OrderBy(frame => frame.Time)], [], SaysPlaces: false);
        var read = 0L;
        ReplayJumps? jumps = null;
        using var all = jumps = new ReplayJumps(() => new CountedSource(Open(one), Count), fresh.Plan, fresh.Options, new ReplayPace(time), time);
        jumps.Survey.Run(CancellationToken.None);
        Assert.InRange(jumps.Survey.Checkpoints.Count, 2, 256);
        read = 0;
        var present = Run(one);
        jumps.Wanted = At(19);

        Assert.Same(present, jumps.Obey(present, hasEnded: false, CancellationToken.None));
        Assert.Null(jumps.Failure);
        Assert.InRange(read, 1, 2_000);
        var run = jumps.Obey(present, hasEnded: false, CancellationToken.None);
        Assert.Equal(one.Frames.Count(frame => frame.Time <= At(1)), run.Standing.Frames);

        void Count(int frames)
        {
            if (read == 0 && jumps is { Survey.Current.IsOver: true })
            {
                jumps.Wanted = At(1);
            }

            read += frames;
        }
    }

    [Fact]
    public void Whoever_quits_on_the_way_to_a_moment_does_not_wait_for_it()
    {
        var one = new Case([.. Car.Healthy(20).Frames.OrderBy(frame => frame.Time)], [], SaysPlaces: false);
        var read = 0L;
        using var quit = new CancellationTokenSource();
        ReplayJumps? jumps = null;
        using var all = jumps = new ReplayJumps(() => new CountedSource(Open(one), Count), fresh.Plan, fresh.Options, new ReplayPace(time), time);
        jumps.Survey.Run(CancellationToken.None);
        read = 0;
        jumps.Wanted = At(19);

        Assert.ThrowsAny<OperationCanceledException>(() => jumps.Obey(Run(one), hasEnded: false, quit.Token));
        Assert.InRange(read, 1, 2_000);

        void Count(int frames)
        {
            read += frames;
            if (jumps is { Survey.Current.IsOver: true })
            {
                quit.Cancel();
            }
        }
    }

    [Fact]
    public void A_recording_with_fewer_frames_than_before_is_not_the_same()
    {
        var one = new Case([.. Car.Healthy(20).Frames.OrderBy(frame => frame.Time)], [], SaysPlaces: false);
        var opened = one;
        using var jumps = new ReplayJumps(() => Open(opened), fresh.Plan, fresh.Options, new ReplayPace(time), time);
        jumps.Survey.Run(CancellationToken.None);
        opened = one with { Frames = one.Frames[..1_000] };
        var present = Run(one);

        jumps.Wanted = At(19);

        Assert.Same(present, jumps.Obey(present, hasEnded: false, CancellationToken.None));
        Assert.Equal("list: has fewer frames than when it was read before", jumps.Failure);
    }

    [Fact]
    public void The_survey_has_the_findings_of_the_whole_recording()
    {
        var one = new Case([.. Car.Healthy(4).Without(0x0C8, from: 2).Frames.OrderBy(frame => frame.Time)], [], SaysPlaces: true);
        using var jumps = Jumps(one);

        jumps.Survey.Run(CancellationToken.None);

        Assert.Equal(At(0), jumps.Survey.Current.Whole!.First);
        Assert.Contains(jumps.Survey.Current.Findings, finding => finding is { Message: "Engine", Severity: FindingSeverity.Fault });
    }

    [Theory]
    [InlineData(3, 0, 0, 3)]
    [InlineData(-5, 0, 0, 0)]
    [InlineData(60, 0, 0, 10)]
    [InlineData(3, 1, 1, 3)]
    [InlineData(8, 1, 0, 8)]
    public void A_time_means_the_stretch_that_has_it(double asked, int standing, int stretch, double found)
    {
        var survey = new RecordingSurvey { IsOver = true, Stretches = [new(At(0), At(10)), new(At(2), At(4))] };

        Assert.Equal(new Moment(stretch, At(found)), survey.Find(At(asked), standing));
    }

    [Fact]
    public void A_time_behind_what_was_read_is_not_known_yet()
    {
        var survey = new RecordingSurvey { Stretches = [new(At(0), At(10))] };

        Assert.Null(survey.Find(At(11), 0));
        Assert.Equal(new Moment(0, At(9)), survey.Find(At(9), 0));
    }

    private sealed record Case(Frame[] Frames, FrameTime[] Moments, bool SaysPlaces);

    private static readonly Gen<Case> Cases =
        from seed in Gen.Int[0, int.MaxValue]
        from moments in Gen.Double[-1, 14].Array[1, 6]
        from saysPlaces in Gen.Bool
        select new Case(Recorded(new Random(seed)), [.. moments.Select(At)], saysPlaces);

    // Messages that stop, a bus that falls silent, frames out of order, a pause, a clock that was set back.
    private static Frame[] Recorded(Random dice)
    {
        var frames = Traffic(dice).ToList();
        if (dice.Next(3) == 0)
        {
            frames.AddRange(Traffic(dice).Take(dice.Next(1_500)));
        }

        // Two buses whose clocks know nothing of each other.
        return dice.Next(3) == 0 ? Apart([.. frames], dice.Next(-50_000, 50_000)) : [.. frames];
    }

    private static Frame[] Apart(Frame[] frames, int milliseconds) => [.. frames.Select(frame => Later(frame, frame.Bus == 1 ? milliseconds : 0))];

    private static IEnumerable<Frame> Traffic(Random dice)
    {
        var car = Car.Healthy(8);
        for (var i = 0; i < 4; i++)
        {
            var from = dice.NextDouble() * 8;
            uint[] ids = [0x0C8, 0x1A0, 0x210, 0x100, 0x320];
            var id = ids[dice.Next(ids.Length)];
            car = dice.Next(4) == 0 ? car.Without((frame, at) => frame.Bus == 0 && at >= from && at < from + 2) : car.Without(id, from, from + (dice.NextDouble() * 2));
        }

        var pauseAt = dice.NextDouble() * 8;
        var pause = dice.Next(3) == 0 ? dice.Next(25_000) : 0;
        return car.Frames.OrderBy(frame => frame.Time.Nanoseconds + dice.Next(20_000_000)).Select(frame => Later(frame, frame.Time.Seconds > pauseAt ? pause : 0));
    }

    private static Frame Later(Frame frame, int milliseconds)
    {
        var later = default(Frame);
        later.Set(frame.Time + FrameSpan.FromMilliseconds(milliseconds), frame.Bus, frame.Id, frame.Kinds, frame.Data);
        return later;
    }

    private static void Same(ReplayRun expected, ReplayRun actual)
    {
        Assert.Equal(expected.Standing, actual.Standing);
        Assert.Equal(expected.Now, actual.Now);
        Assert.Equal(expected.Events.Latest(), actual.Events.Latest());
        Assert.Equal(Dump.Of(expected.Report(isFinal: false)), Dump.Of(actual.Report(isFinal: false)));
    }

    private ReplayJumps Jumps(Case one) => new(() => Open(one), fresh.Plan, fresh.Options, new ReplayPace(time), time);

    private ReplayRun Run(Case one) => new(Open(one), fresh.Copy(), new ReplayPace(time));

    private static ListSource Open(Case one) => new(Car.Buses, one.Frames, saysPlaces: one.SaysPlaces);

    private static FrameTime At(double seconds) => new(FrameSpan.FromSeconds(seconds).Nanoseconds);

    private sealed class CountedSource(IFrameSource inner, Action<int> count) : SourceAround(inner)
    {
        public override SourceState Read(FrameBatch batch, CancellationToken cancellation)
        {
            var state = Inner.Read(batch, cancellation);
            count(batch.Count);
            return state;
        }
    }
}
