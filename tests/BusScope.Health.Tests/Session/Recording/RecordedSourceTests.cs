using BusScope.Frames;
using BusScope.Frames.Diagnostics;
using BusScope.Session;
using BusScope.Session.Recording;
using BusScope.Signals.Definitions;
using BusScope.Signals.Expressions;
using BusScope.Signals.Loading;
using BusScope.Signals.Plans;
using BusScope.TestKit;
using BusScope.Transport;
using BusScope.Transport.Recording;
using Microsoft.Extensions.Time.Testing;
using Xunit;

namespace BusScope.Health.Tests.Session.Recording;

public sealed class RecordedSourceTests : IDisposable
{
    private readonly DirectoryInfo folder = Directory.CreateTempSubdirectory("busscope-");
    private readonly FakeTimeProvider time = new(new DateTimeOffset(2026, 1, 2, 3, 4, 5, TimeSpan.Zero));
    private readonly OneDisk disk = new();

    private string Path => System.IO.Path.Combine(folder.FullName, "drive.pcapng");

    public void Dispose() => folder.Delete(recursive: true);

    private static Frame At(double milliseconds, uint id = 1, string hex = "01") => Some.Frame(id, hex, milliseconds);

    private RecordedSource Record(IFrameSource source, out Recorder recorder, RecordingOptions? options = null)
    {
        recorder = new Recorder((options ?? new RecordingOptions(Path)) with { Clock = source.Clock }, null, disk, time);
        recorder.Start();
        return new RecordedSource(source, recorder);
    }

    private List<string> Recorded(out IFrameSource source)
    {
        source = CaptureFile.Open(Path);
        return [.. ReadFrames.From(source, TestContext.Current.CancellationToken).Lines];
    }

    [Fact]
    public void What_is_read_is_recorded_and_what_is_read_is_what_the_source_gives()
    {
        Frame[] frames = [.. Enumerable.Range(0, 1000).Select(i => At(i))];
        ReadFrames read;
        using (var source = Record(new ListSource([new Bus("chassis")], frames), out _))
        {
            read = ReadFrames.From(source, TestContext.Current.CancellationToken);
            Assert.Empty(source.Problems.All);
        }

        Assert.Equal(frames.Select(ReadFrames.Line), read.Lines);
        Assert.Equal(read.Lines, Recorded(out _));
    }

    [Fact]
    public void When_the_disk_is_full_the_source_goes_on_and_says_so()
    {
        var script = new LiveScript(count: 2_000) { Before = turn => disk.Room = turn == 10 ? 0 : disk.Room };
        using var source = Record(script, out var recorder);
        var (batch, frames) = (new FrameBatch(), 0);
        while (source.Read(batch, TestContext.Current.CancellationToken) != SourceState.Ended)
        {
            frames += batch.Count;
            time.Advance(TimeSpan.FromMilliseconds(100));
            if (frames > 100)
            {
                Assert.True(SpinWait.SpinUntil(() => recorder.Status.Failure is not null, TimeSpan.FromSeconds(20)));
            }
        }

        Assert.Equal(2_000, frames);
        Assert.Equal("recording-failed", Assert.Single(source.Problems.All).Kind.Code);
        Assert.Contains("MB left", source.Problems.All[0].Detail, StringComparison.Ordinal);
        Assert.NotNull(source.Complete().Failure);
    }

    [Fact]
    public void What_the_adapter_lost_stands_in_the_recording()
    {
        using (var source = Record(new LiveScript(count: 3) { Lost = 17 }, out _))
        {
            ReadFrames.From(source, TestContext.Current.CancellationToken);
        }

        Recorded(out var read);

        Assert.Equal(("recorder-dropped", 17), Assert.Single(read.Problems.All) is var problem ? (problem.Kind.Code, problem.Count) : default);
    }

    [Fact]
    public void A_mark_set_while_a_session_is_watched_stands_among_the_events_and_in_the_recording()
    {
        var monitor = new HealthMonitor(new DefinitionPlan(DefinitionSet.Empty), new MonitorOptions());
        using (var session = new MonitorSession(Record(new LiveScript(count: 5, thenSilent: true), out _), monitor, time))
        {
            for (var i = 0; i < 20; i++)
            {
                session.Turn(TestContext.Current.CancellationToken);
                time.Advance(TimeSpan.FromMilliseconds(100));
            }

            Assert.True(session.Mark("key turned"));
            Assert.Equal("mark: key turned", session.Current.Events[^1].Text);
            Assert.True(session.Current.IsRecorded);
        }

        Recorded(out var read);
        Assert.Equal(["mark: key turned"], read.Comments);
    }

    [Fact]
    public void A_mark_without_a_recording_stands_among_the_events_alone()
    {
        var monitor = new HealthMonitor(new DefinitionPlan(DefinitionSet.Empty), new MonitorOptions());
        using var session = new MonitorSession(new LiveScript(count: 5, thenSilent: true), monitor, time);

        Assert.False(session.Mark(""));
        Assert.Equal("mark", Assert.Single(session.Current.Events).Text);
        Assert.False(session.Current.IsRecorded);
    }

    [Fact]
    public void A_recording_of_a_given_length_ends_on_a_silent_bus_too()
    {
        using var source = Record(new LiveScript(count: 1, thenSilent: true), out var recorder);

        var result = RecordingRun.ToEnd(source, recorder, FrameSpan.FromSeconds(60), time, () => time.Advance(TimeSpan.FromSeconds(1)), TestContext.Current.CancellationToken);

        Assert.Equal(RunEnd.TimeOver, result.End);
        Assert.Single(Recorded(out _));
    }

    [Fact]
    public void Somebody_ends_it()
    {
        using var stop = new CancellationTokenSource();
        using var source = Record(new LiveScript(count: 5, thenSilent: true), out var recorder);
        var turns = 0;

        var result = RecordingRun.ToEnd(source, recorder, null, time, () => { if (++turns == 20) { stop.Cancel(); } }, stop.Token);

        Assert.Equal((RunEnd.Cancelled, 5L, null), (result.End, result.Recording.Frames, result.Recording.Failure));
    }

    [Fact]
    public void What_the_adapter_had_when_somebody_broke_off_is_recorded_too()
    {
        using (var source = Record(new LiveScript(count: 50, thenSilent: true), out _))
        {
            Assert.Equal(SourceState.Frames, source.Read(new FrameBatch(), TestContext.Current.CancellationToken));
        }

        Assert.Equal(50, Recorded(out _).Count);
    }

    [Fact]
    public void A_bus_that_never_pauses_does_not_keep_the_recording_from_its_end()
    {
        using var source = Record(new LiveScript(count: int.MaxValue), out _);

        Assert.Equal(100_000, source.Complete().Frames);
    }

    [Fact]
    public void A_recording_that_has_its_length_takes_nothing_further()
    {
        using var source = Record(new LiveScript(count: 50), out _);
        source.Read(new FrameBatch(), TestContext.Current.CancellationToken);

        Assert.Equal(10, source.Complete(takesRest: false).Frames);
    }

    [Fact]
    public void An_adapter_that_fails_while_its_rest_is_taken_leaves_what_came()
    {
        using var source = Record(new LiveScript(count: 50) { Failure = "can0: gone" }, out _);

        Assert.Equal((50L, null), source.Complete() is var status ? (status.Frames, status.Failure) : default);
    }

    // A terminal that is taken away: the signal's thread closes the session, and the program ends as soon as that returns.
    [Fact]
    public void A_session_that_another_thread_closes_leaves_its_recording_whole()
    {
        var monitor = new HealthMonitor(new DefinitionPlan(DefinitionSet.Empty), new MonitorOptions());
        using var session = new MonitorSession(Record(new LiveScript(count: 500, thenSilent: true), out _), monitor, time);
        session.Start();

        var signal = new Thread(session.Dispose);
        signal.Start();
        signal.Join();

        Assert.Equal(500, Recorded(out var read).Count);
        Assert.Empty(read.Problems.All);
    }

    [Fact]
    public void A_source_that_fails_ends_it_with_everything_that_came()
    {
        using var source = Record(new LiveScript(count: 5) { Failure = "can0: gone" }, out var recorder);

        var result = RecordingRun.ToEnd(source, recorder, null, time, () => { }, TestContext.Current.CancellationToken);

        Assert.Equal((RunEnd.SourceFailed, "can0: gone", 5L), (result.End, result.SourceFailure, result.Recording.Frames));
        Assert.Equal(5, Recorded(out _).Count);
    }

    [Fact]
    public void A_condition_triggers_at_the_frame_that_makes_it_true()
    {
        var plan = new DefinitionPlan(DefinitionLoader.LoadText("""
            busscope: 1
            messages:
              Engine: { id: 0x100, length: 1, signals: { Speed: { bytes: 0..0, scale: 10 } } }
              Key:    { id: 0x200, length: 1, signals: { Position: { bytes: 0..0 } } }
            """, "engine.yaml").Definitions!);
        var trigger = new ConditionTrigger(plan, Expression.Parse("Speed > 500 and Position == 2", out _)!);
        Frame[] frames = [At(0, 0x100, "40"), At(1, 0x200, "01"), At(2, 0x300, "FF"), At(3, 0x200, "02"), At(4, 0x100, "10")];

        var found = frames.Chunk(2).Select(chunk => trigger.Find(Some.Batches(chunk).First(), [new Bus("any")])).ToList();

        Assert.Equal([-1, 1, -1], found);
    }

    [Fact]
    public void Names_that_nobody_defined_are_known_before()
    {
        var plan = new DefinitionPlan(DefinitionSet.Empty);

        Assert.Equal(["Speed"], ConditionTrigger.UnknownNames(plan, Expression.Parse("Speed > 500", out _)!));
    }

    [Fact]
    public void A_clock_that_is_set_forward_does_not_end_a_recording_of_a_given_length()
    {
        // An hour leaps by in the second second; the adapter's frames have our own stamps.
        var script = new LiveScript(count: int.MaxValue, SourceClock.Ours) { Leap = milliseconds => milliseconds > 1_000 ? 3_600_000 : 0 };
        using var source = Record(script, out var recorder, new RecordingOptions(Path) { Length = FrameSpan.FromSeconds(3) });

        var result = RecordingRun.ToEnd(source, recorder, FrameSpan.FromSeconds(3), time, () => time.Advance(TimeSpan.FromMilliseconds(10)), TestContext.Current.CancellationToken);

        Assert.Equal(RunEnd.TimeOver, result.End);
        Assert.InRange(result.Recording.Frames, 3_000, 3_020);
    }

    [Fact]
    public void The_comments_of_a_capture_are_recorded_with_it()
    {
        using (var source = Record(new Commented(new ListSource([new Bus("chassis")], [At(1)])), out _))
        {
            ReadFrames.From(source, TestContext.Current.CancellationToken);
        }

        Recorded(out var read);
        Assert.Equal(["on the way home", "second"], read.Comments);
    }

    private sealed class OneDisk : IDiskSpace
    {
        private long room = long.MaxValue;

        public long Room { get => Volatile.Read(ref room); set => Volatile.Write(ref room, value); }

        public long? Free(string folder) => Room;
    }

    private sealed class Commented(IFrameSource inner) : SourceAround(inner)
    {
        public override IReadOnlyList<string> Comments => ["on the way home", "second"];
    }

    /// <summary>A live source that gives a frame in ten a turn, and then ends, fails or falls silent.</summary>
    private sealed class LiveScript(int count, SourceClock clock = SourceClock.Theirs, bool thenSilent = false) : IFrameSource
    {
        private int given;
        private int turn;

        public Action<int>? Before { get; init; }

        public long Lost { get; init; }

        public string? Failure { get; init; }

        public string Name => "live";

        public IReadOnlyList<Bus> Buses { get; } = [new("chassis")];

        public ProblemLog Problems { get; } = new();

        public double? Progress => null;

        public SourceClock Clock => clock;

        public Func<int, double> Leap { get; init; } = _ => 0;

        public ControllerStatus? StatusOf(int bus) => new(ControllerState.ErrorActive) { LostFrames = Lost };

        public SourceState Read(FrameBatch batch, CancellationToken cancellation)
        {
            batch.Clear();
            Before?.Invoke(turn++);
            for (var i = 0; i < 10 && given < count; i++)
            {
                batch.Add() = At(given + Leap(given));
                given++;
            }

            return batch.Count > 0 ? SourceState.Frames
                : thenSilent ? SourceState.Idle
                : Failure is null ? SourceState.Ended
                : throw new SourceException(Failure);
        }

        public void Dispose()
        {
        }
    }
}
