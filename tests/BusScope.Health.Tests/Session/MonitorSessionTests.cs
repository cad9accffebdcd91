using System.Collections.Concurrent;
using BusScope.Frames;
using BusScope.Frames.Diagnostics;
using BusScope.Session;
using BusScope.Session.Readings;
using BusScope.Session.Replay;
using BusScope.Signals.Definitions;
using BusScope.Signals.Editing;
using BusScope.Signals.Loading;
using BusScope.Signals.Plans;
using BusScope.TestKit;
using BusScope.Transport;
using Microsoft.Extensions.Time.Testing;
using Xunit;

namespace BusScope.Health.Tests.Session;

public sealed class MonitorSessionTests
{
    private static readonly Bus[] OneBus = [new("chassis")];
    private readonly FakeTimeProvider time = new(new DateTimeOffset(2026, 1, 2, 3, 4, 5, TimeSpan.Zero));

    [Fact]
    public void Snapshots_come_at_most_twenty_times_a_second()
    {
        using var session = Replay(Every(milliseconds: 1, count: 1_000));
        var cancellation = TestContext.Current.CancellationToken;

        for (var i = 0; i < 500; i++)
        {
            session.Turn(cancellation);
            time.Advance(TimeSpan.FromMilliseconds(1));
        }

        Assert.InRange(session.Current.Number, 9, 10);
        Assert.InRange(session.Current.Health.Frames, 440, 500);
    }

    [Fact]
    public void A_frame_after_a_pause_is_shown_in_its_turn()
    {
        using var session = Replay(Every(milliseconds: 40, count: 100));
        var cancellation = TestContext.Current.CancellationToken;

        for (var i = 0; i < 400; i++)
        {
            session.Turn(cancellation);
            Assert.Equal((i / 40) + 1, session.Current.Health.Frames);
            time.Advance(TimeSpan.FromMilliseconds(1));
        }
    }

    [Fact]
    public void A_replay_that_stands_still_is_shown_once_and_then_left_alone()
    {
        var pace = new ReplayPace(time);
        using var session = Replay(Every(milliseconds: 10, count: 1_000), pace);
        Pass(session, 20);

        pace.IsPaused = true;
        Pass(session, 10);
        var number = session.Current.Number;
        Pass(session, 200);

        Assert.True(session.Current.IsPaused);
        Assert.Equal(number, session.Current.Number);
        Assert.Equal(Timeout.InfiniteTimeSpan, session.Turn(TestContext.Current.CancellationToken));
    }

    [Fact]
    public void A_step_while_standing_still_is_shown()
    {
        var pace = new ReplayPace(time) { IsPaused = true };
        using var session = Replay(Every(milliseconds: 10, count: 1_000), pace);
        Pass(session, 20);
        var before = session.Current.Health.Frames;

        pace.StepFrame();
        Pass(session, 10);

        Assert.Equal(before + 1, session.Current.Health.Frames);
    }

    [Fact]
    public void Signals_that_are_asked_for_are_answered_while_the_replay_stands_still()
    {
        var pace = new ReplayPace(time);
        var plan = new DefinitionPlan(DefinitionLoader.LoadTexts([new SourceText("test.yaml", """
            busscope: 1
            messages:
              Engine:
                id: 0x0C8
                length: 2
                signals:
                  Speed: { bytes: 0..1, order: big }
            """)]).Definitions!);
        using var session = new MonitorSession(new ListSource(OneBus, Every(milliseconds: 10, count: 1_000)), new HealthMonitor(plan, new MonitorOptions()), pace, time);
        Pass(session, 20);
        pace.IsPaused = true;
        Pass(session, 10);
        Assert.Empty(session.Current.Readings);

        session.Follow([new ReadingRequest(new SignalKey(0, 0), FrameSpan.FromSeconds(1), 10)]);
        Pass(session, 10);

        Assert.Equal(1, Assert.Single(session.Current.Readings).Latest.Value);
        var number = session.Current.Number;
        Pass(session, 100);
        Assert.Equal(number, session.Current.Number);
    }

    [Fact]
    public void A_message_that_is_asked_for_is_answered_with_its_gaps_and_the_range_of_a_field_since_then()
    {
        var pace = new ReplayPace(time);
        using var session = new MonitorSession(new ListSource(OneBus, Every(milliseconds: 10, count: 1_000)), new HealthMonitor(new DefinitionPlan(DefinitionSet.Empty), new MonitorOptions()), pace, time);
        Pass(session, 20);
        Assert.Null(session.Current.Message);

        var field = new SignalDefinition { Name = "field", Field = new BitField(new BitPosition(0, 7), 8, ByteOrder.Big) };
        session.Follow([], new MessageRequest(OneBus[0].Name, new CanId(0x0C8, false), field));
        Pass(session, 10);
        var first = session.Current.Message!;
        Assert.Equal(FrameSpan.FromMilliseconds(10), first.Gaps!.Median);
        Pass(session, 20);

        Assert.InRange(session.Current.Message!.Range!.Frames, 1, session.Current.Health.Frames - 1);
        session.Follow([]);
        Pass(session, 10);
        Assert.Null(session.Current.Message);
    }

    [Fact]
    public void A_signal_that_is_defined_meanwhile_is_read_and_what_is_judged_stays()
    {
        var pace = new ReplayPace(time);
        var monitor = new HealthMonitor(new DefinitionPlan(DefinitionSet.Empty), new MonitorOptions());
        using var session = new MonitorSession(new ListSource(OneBus, Every(milliseconds: 10, count: 1_000)), monitor, pace, time);
        Pass(session, 20);
        var field = new SignalDefinition { Name = "Added", Field = new BitField(new BitPosition(0, 7), 8, ByteOrder.Big) };
        var added = new NewSignal("file", "Message", field) { Id = new CanId(0x0C8, false), Bus = OneBus[0].Name };

        session.Widen(new DefinitionPlan(added.Into(DefinitionSet.Empty, -1)));
        session.Follow([new ReadingRequest(new SignalKey(0, 0), FrameSpan.FromSeconds(1), 0)]);
        Pass(session, 20);
        Pass(session, 20);

        Assert.Single(session.Current.Readings);
        Assert.Single(session.Current.Decoding.Messages);
        Assert.Empty(session.Current.Plan.Messages);
        Assert.Same(monitor.Plan, session.Current.Plan);
    }

    [Fact]
    public void The_end_of_a_recording_is_a_snapshot_too()
    {
        var pace = new ReplayPace(time, ReplayPace.AsFastAsPossible);
        using var session = Replay(Every(milliseconds: 10, count: 1_000), pace);

        session.Run(TestContext.Current.CancellationToken);

        Assert.True(session.Current.HasEnded);
        Assert.Null(session.Current.Failure);
        Assert.Equal(1_000, session.Current.Health.Frames);
        Assert.Equal(1, session.Current.Progress);
    }

    [Fact]
    public void A_source_that_fails_ends_with_its_reason_and_keeps_what_came()
    {
        using var session = Live(new ScriptedSource(
            batch => Give(batch, 1),
            _ => throw new SourceException("can0: the adapter is gone")));

        session.Run(TestContext.Current.CancellationToken);

        Assert.True(session.Current.HasEnded);
        Assert.Equal("can0: the adapter is gone", session.Current.Failure);
        Assert.Equal(1, session.Current.Health.Frames);
        Assert.NotEqual(Verdict.Go, session.Current.Health.Verdict);
    }

    [Fact]
    public void On_a_live_bus_time_goes_on_without_frames()
    {
        using var session = Live(new ScriptedSource(batch => Give(batch, 1), Nothing, Nothing));
        var cancellation = TestContext.Current.CancellationToken;
        session.Turn(cancellation);

        time.Advance(TimeSpan.FromSeconds(10));
        session.Turn(cancellation);

        Assert.Equal(FrameSpan.FromSeconds(10), session.Current.Health.Now - session.Current.Health.First);
        Assert.True(Assert.Single(session.Current.Health.Buses).IsSilent);
    }

    [Fact]
    public void A_fault_of_our_own_is_kept_for_the_end_of_the_program()
    {
        using var session = Live(new ScriptedSource(_ => throw new InvalidOperationException("our own")));

        session.Start();

        Assert.True(SpinWait.SpinUntil(() => session.Fault is not null, TimeSpan.FromSeconds(20)));
        Assert.Equal("our own", session.Fault!.SourceException.Message);
    }

    [Fact]
    public void Closing_a_session_that_stands_still_wakes_it()
    {
        var session = Replay(Every(milliseconds: 10, count: 1_000), new ReplayPace(time) { IsPaused = true });
        session.Start();

        session.Dispose();

        Assert.Null(session.Fault);
    }

    [Theory]
    [InlineData(null, 1_000)]
    [InlineData(5.0, 501)]
    public void A_run_takes_the_whole_source_or_the_time_asked_for(double? seconds, int frames)
    {
        var source = new ListSource(OneBus, Every(milliseconds: 10, count: 1_000));
        var options = new RunOptions { Length = seconds is { } length ? FrameSpan.FromSeconds(length) : null };

        var result = SessionRun.ToEnd(source, Monitor(), null, TestContext.Current.CancellationToken, options);

        Assert.Equal(frames, result.Health.Frames);
        Assert.Equal(seconds is null ? RunEnd.SourceEnded : RunEnd.TimeOver, result.End);
    }

    [Fact]
    public void A_run_of_a_source_that_fails_says_why_and_keeps_what_came()
    {
        var source = new ScriptedSource(batch => Give(batch, 1), _ => throw new SourceException("cut off"));

        var result = SessionRun.ToEnd(source, Monitor(), null, TestContext.Current.CancellationToken);

        Assert.Equal((RunEnd.SourceFailed, "cut off", 1), (result.End, result.Failure, result.Health.Frames));
    }

    [Fact]
    public void A_recording_that_was_cut_is_never_shown_as_go()
    {
        var source = new ScriptedSource(batch => Give(batch, 1));
        source.Problems.Add(CaptureProblems.CutShort, new ProblemPlace(ByteOffset: 4_096));
        using var session = new MonitorSession(source, Monitor(), new ReplayPace(time), time);

        Pass(session, 20);

        Assert.True(session.Current.HasEnded);
        Assert.Equal(CaptureProblems.CutShort.Meaning, session.Current.Health.Interruption);
        Assert.NotEqual(Verdict.Go, session.Current.Health.Verdict);
    }

    private static Frame[] Every(double milliseconds, int count) =>
        [.. Enumerable.Range(0, count).Select(i => Some.Frame(0x0C8, "00 01", i * milliseconds))];

    private static HealthMonitor Monitor() => new(new DefinitionPlan(DefinitionSet.Empty), new MonitorOptions());

    private static SourceState Give(FrameBatch batch, double milliseconds)
    {
        batch.Add() = Some.Frame(0x0C8, "00 01", milliseconds);
        return SourceState.Frames;
    }

    private static SourceState Nothing(FrameBatch batch) => SourceState.Idle;

    private MonitorSession Replay(Frame[] frames, ReplayPace? pace = null) =>
        new(new ListSource(OneBus, frames), Monitor(), pace ?? new ReplayPace(time), time);

    private MonitorSession Live(IFrameSource source) => new(source, Monitor(), time);

    [Fact]
    public void A_session_that_is_closed_twice_at_once_is_closed_once_and_both_return_when_it_is()
    {
        var source = new SlowlyClosing();
        var session = new MonitorSession(source, new HealthMonitor(new DefinitionPlan(DefinitionSet.Empty), new MonitorOptions()), time);
        var first = new Thread(session.Dispose);
        var second = new Thread(() =>
        {
            session.Dispose();
            source.Log.Enqueue("second returned");
        });

        first.Start();
        source.IsClosing.Wait(TestContext.Current.CancellationToken);
        second.Start();
        Assert.True(SpinWait.SpinUntil(() => (second.ThreadState & (ThreadState.WaitSleepJoin | ThreadState.Stopped)) != 0, TimeSpan.FromSeconds(20)));
        source.MayClose.Set();
        first.Join();
        second.Join();

        Assert.Equal(["closed", "second returned"], source.Log);
    }

    private void Pass(MonitorSession session, int turns)
    {
        for (var i = 0; i < turns; i++)
        {
            session.Turn(TestContext.Current.CancellationToken);
            time.Advance(TimeSpan.FromMilliseconds(10));
        }
    }

    /// <summary>A silent source that is closed no sooner than it may.</summary>
    private sealed class SlowlyClosing() : SourceAround(new ListSource(OneBus, []))
    {
        public ManualResetEventSlim IsClosing { get; } = new();

        public ManualResetEventSlim MayClose { get; } = new();

        public ConcurrentQueue<string> Log { get; } = new();

        public override void Dispose()
        {
            IsClosing.Set();
            MayClose.Wait();
            Log.Enqueue("closed");
            base.Dispose();
        }
    }

    private sealed class ScriptedSource(params Func<FrameBatch, SourceState>[] reads) : IFrameSource
    {
        private int next;

        public string Name => "scripted";

        public IReadOnlyList<Bus> Buses => OneBus;

        public ProblemLog Problems { get; } = new();

        public double? Progress => null;

        public SourceClock Clock => SourceClock.Theirs;

        public SourceState Read(FrameBatch batch, CancellationToken cancellation)
        {
            batch.Clear();
            return next < reads.Length ? reads[next++](batch) : SourceState.Ended;
        }

        public void Dispose()
        {
        }
    }
}
