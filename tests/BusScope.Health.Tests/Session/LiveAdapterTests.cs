using BusScope.Frames;
using BusScope.Frames.Diagnostics;
using BusScope.Health.Findings;
using BusScope.Session;
using BusScope.Signals.Definitions;
using BusScope.Signals.Loading;
using BusScope.Signals.Plans;
using BusScope.Transport;
using BusScope.Transport.Adapters;
using Xunit;

namespace BusScope.Health.Tests.Session;

/// <summary>A live bus whose adapter comes and goes, and the answer of a check on it.</summary>
public sealed class LiveAdapterTests : IDisposable
{
    private const double Step = 10;

    private const string Two = """
        busscope: 1
        modules: { cluster: { title: Cluster } }
        messages:
          Steady: { id: 0x101, length: 1, every: 20 ms, needed-by: [ cluster ] }
          Slow: { id: 0x102, length: 1, every: 1 s, needed-by: [ cluster ] }
        """;

    private static readonly DateTimeOffset Start = new(2026, 3, 4, 5, 6, 7, TimeSpan.Zero);
    private readonly SettableClock time = new();
    private readonly LiveBus bus;
    private readonly DefinitionSet definitions = DefinitionLoader.LoadText(Two, "two.yaml").Definitions!;
    private readonly HealthMonitor monitor;

    public LiveAdapterTests()
    {
        bus = new LiveBus(time);
        monitor = new HealthMonitor(new DefinitionPlan(definitions), new MonitorOptions());
    }

    [Fact]
    public void Good_news_come_as_soon_as_every_expectation_has_been_met_for_long_enough()
    {
        var result = Check(seconds: 60);

        // Ten periods of the slowest message.
        Assert.Equal((RunEnd.AnswerClear, Verdict.Go), (result.End, result.Health.Verdict));
        Assert.InRange(Passed, 10, 11);
    }

    [Fact]
    public void Bad_news_come_when_everything_has_been_judged()
    {
        bus.Silent.Add(0x102);

        var result = Check(seconds: 60);

        Assert.Equal((RunEnd.AnswerClear, Verdict.NoGo), (result.End, result.Health.Verdict));
        Assert.InRange(Passed, 10, 11);
    }

    [Fact]
    public void Nothing_is_clear_while_no_frame_comes()
    {
        bus.Silent.UnionWith([0x101, 0x102]);

        var result = Check(seconds: 30);

        Assert.Equal(RunEnd.TimeOver, result.End);
        Assert.NotEqual(Verdict.Go, result.Health.Verdict);
        Assert.InRange(Passed, 30, 31);
    }

    [Fact]
    public void While_the_adapter_is_away_no_message_is_to_blame_and_the_answer_is_not_go()
    {
        bus.Away = (4, 7);

        var result = Check(seconds: 20, isWhole: true);

        Assert.Equal(Verdict.Inconclusive, result.Health.Verdict);
        Assert.DoesNotContain(result.Health.Findings, finding => finding.Severity == FindingSeverity.Fault);
        Assert.All(result.Health.Messages, message => Assert.Equal(MessageState.Fresh, message.State));
        Assert.Equal(AdapterProblems.Gone.Meaning, result.Health.Interruption);
    }

    [Fact]
    public void Nothing_is_clear_while_the_adapter_is_away_for_good()
    {
        bus.Away = (3, 1_000);

        var result = Check(seconds: 30);

        Assert.Equal((RunEnd.TimeOver, Verdict.Inconclusive), (result.End, result.Health.Verdict));
    }

    [Fact]
    public void A_controller_that_went_bus_off_blames_nobody()
    {
        bus.Away = (3, 1_000);
        bus.AwayState = ControllerState.BusOff;

        var result = Check(seconds: 30);

        Assert.DoesNotContain(result.Health.Findings, finding => finding.Severity == FindingSeverity.Fault);
        Assert.NotEqual(RunEnd.AnswerClear, result.End);
    }

    [Theory]
    [InlineData(600)]
    [InlineData(-600)]
    public void A_clock_that_is_set_makes_no_silence_and_no_longer_run(int seconds)
    {
        bus.Leap = (4, seconds);

        var result = Check(seconds: 20, isWhole: true);

        Assert.Equal(RunEnd.TimeOver, result.End);
        Assert.InRange(Turns, 1_990, 2_010);
        Assert.DoesNotContain(result.Health.Findings, finding => finding.Severity == FindingSeverity.Fault);
    }

    [Theory]
    [InlineData(SourceClock.Ours)]
    [InlineData(SourceClock.Theirs)]
    public void A_link_that_stalls_and_then_breaks_inside_a_record_says_nothing_of_the_car(SourceClock clock)
    {
        (bus.Clock, bus.Broken) = (clock, (8, 12));

        var result = Check(seconds: 60, isWhole: true);

        Assert.Equal((RunEnd.SourceEnded, Verdict.Inconclusive), (result.End, result.Health.Verdict));
        Assert.DoesNotContain(result.Health.Findings, finding => finding.Severity == FindingSeverity.Fault);
    }

    [Theory]
    [InlineData(SourceClock.Ours)]
    [InlineData(SourceClock.Theirs)]
    public void A_message_that_had_stopped_before_the_link_broke_is_a_fault(SourceClock clock)
    {
        (bus.Clock, bus.Broken) = (clock, (8.5, 12));
        bus.SilentAfter = (0x101, 4);

        var result = Check(seconds: 60, isWhole: true);

        var fault = Assert.Single(result.Health.Findings, finding => finding.Severity == FindingSeverity.Fault);
        Assert.Equal((Verdict.NoGo, FindingCodes.MessageStopped, "Steady"), (result.Health.Verdict, fault.Code, fault.Message));
        Assert.InRange((result.Health.Now!.Value - At(8)).Seconds, -0.02, 0.02);
    }

    [Fact]
    public void A_message_that_had_stopped_before_the_adapter_was_pulled_out_is_a_fault()
    {
        bus.SilentAfter = (0x101, 4);
        bus.Away = (7.5, 1_000);

        var result = Check(seconds: 20, isWhole: true);

        var fault = Assert.Single(result.Health.Findings, finding => finding.Severity == FindingSeverity.Fault);
        Assert.Equal((Verdict.NoGo, FindingCodes.MessageStale, "Steady"), (result.Health.Verdict, fault.Code, fault.Message));
    }

    [Fact]
    public void A_source_of_another_clock_that_brings_nothing_is_waited_for_no_longer_than_asked()
    {
        bus.Silent.UnionWith([0x101, 0x102]);
        bus.Clock = SourceClock.Theirs;

        var result = Check(seconds: 5);

        Assert.Equal(RunEnd.TimeOver, result.End);
        Assert.NotEqual(Verdict.Go, result.Health.Verdict);
    }

    [Fact]
    public void Where_nobody_says_who_needs_what_everything_is_needed_and_waited_for()
    {
        var unstated = DefinitionLoader.LoadText(Two.Replace(", needed-by: [ cluster ]", "", StringComparison.Ordinal).Replace("modules: { cluster: { title: Cluster } }", "", StringComparison.Ordinal), "two.yaml").Definitions!;
        var all = new HealthMonitor(new DefinitionPlan(unstated), new MonitorOptions());

        _ = SessionRun.ToEnd(bus, all, null, TestContext.Current.CancellationToken, new RunOptions { Time = time, Length = FrameSpan.FromSeconds(60), Clear = new ClearAnswer(unstated) });

        Assert.InRange(Passed, 10, 11);
    }

    [Fact]
    public void A_message_that_stays_away_when_the_adapter_is_back_is_missed()
    {
        bus.Away = (4, 7);
        bus.SilentAfter = (0x101, 4);

        var result = Check(seconds: 20, isWhole: true);

        Assert.Equal(Verdict.NoGo, result.Health.Verdict);
        Assert.Contains(result.Health.Findings, finding => finding is { Severity: FindingSeverity.Fault, Message: "Steady" });
    }

    [Fact]
    public void What_happens_to_the_adapter_is_told_with_its_time()
    {
        bus.Away = (1, 2);
        using var session = new MonitorSession(bus, monitor, time);
        while (Passed < 3)
        {
            session.Turn(TestContext.Current.CancellationToken);
        }

        var events = session.Current.Events.Where(happened => happened.Text.Contains("adapter", StringComparison.Ordinal)).ToList();

        Assert.Equal(["the adapter of bus chassis was unplugged", "the adapter of bus chassis is back"], events.Select(happened => happened.Text));
        Assert.All(events.Zip([1.0, 2.0]), pair => Assert.InRange((pair.First.At - At(pair.Second)).Seconds, -0.02, 0.02));
        Assert.Equal(ControllerState.ErrorActive, Assert.Single(session.Current.Controllers)!.State);
    }

    public void Dispose() => bus.Dispose();

    private int Turns => bus.Turns;

    private double Passed => (time.GetUtcNow() - Start).TotalSeconds;

    private RunResult Check(double seconds, bool isWhole = false) => SessionRun.ToEnd(
        bus,
        monitor,
        null,
        TestContext.Current.CancellationToken,
        new RunOptions { Time = time, Length = FrameSpan.FromSeconds(seconds), Clear = isWhole ? null : new ClearAnswer(definitions) });

    private static FrameTime At(double seconds) => new((Start.ToUnixTimeMilliseconds() * 1_000_000) + (long)(seconds * 1e9));

    /// <summary>A bus that sends 0x101 every 20 ms and 0x102 every second, and whose time goes on by ten milliseconds with each reading.</summary>
    private sealed class LiveBus(SettableClock time) : IFrameSource
    {
        private ControllerStatus status = new(ControllerState.ErrorActive);

        public HashSet<uint> Silent { get; } = [];

        public (double From, double Until) Away { get; set; }

        public (uint Id, double From) SilentAfter { get; set; }

        public (double At, int Seconds) Leap { get; set; }

        // Nothing comes any more from the one moment on; at the other it ends inside a record.
        public (double Stalls, double Ends) Broken { get; set; } = (double.MaxValue, double.MaxValue);

        public ControllerState AwayState { get; set; } = ControllerState.Gone;

        public int Turns { get; private set; }

        public string Name => "can0";

        public IReadOnlyList<Bus> Buses { get; } = [new Bus("chassis")];

        public ProblemLog Problems { get; } = new();

        public double? Progress => null;

        public SourceClock Clock { get; set; } = SourceClock.Ours;

        public ControllerStatus? StatusOf(int bus) => status;

        public SourceState Read(FrameBatch batch, CancellationToken cancellation)
        {
            batch.Clear();
            time.Advance(TimeSpan.FromMilliseconds(Step));
            Turns++;
            var at = Turns * Step / 1_000;
            if (at > Broken.Ends)
            {
                Problems.Add(CaptureProblems.CutShort, default);
                return SourceState.Ended;
            }

            var isAway = at > Away.From && at <= Away.Until;
            if (isAway != (status.State == AwayState))
            {
                status = new ControllerStatus(isAway ? AwayState : ControllerState.ErrorActive) { Since = At(at) };
                if (isAway)
                {
                    Problems.Add(AdapterProblems.Gone, default);
                }
            }

            if (Leap.Seconds != 0 && Math.Abs(at - Leap.At) < Step / 2_000)
            {
                time.Set(Leap.Seconds);
            }

            if (!isAway && at < Broken.Stalls)
            {
                Send(batch, 0x101, 2, at);
                Send(batch, 0x102, 100, at);
            }

            return batch.Count > 0 ? SourceState.Frames : SourceState.Idle;
        }

        public void Dispose()
        {
        }

        private void Send(FrameBatch batch, uint id, int every, double at)
        {
            if (Turns % every == 0 && !Silent.Contains(id) && !(SilentAfter.Id == id && at > SilentAfter.From))
            {
                batch.Add().Set(At(at + (at >= Leap.At ? Leap.Seconds : 0)), 0, new CanId(id, isExtended: false), FrameKinds.None, [1]);
            }
        }
    }

    /// <summary>A clock on the wall that can be set, beside a time that only goes on.</summary>
    private sealed class SettableClock : TimeProvider
    {
        private TimeSpan passed;
        private TimeSpan set;

        public override long TimestampFrequency => TimeSpan.TicksPerSecond;

        public void Advance(TimeSpan span) => passed += span;

        public void Set(int seconds) => set += TimeSpan.FromSeconds(seconds);

        public override DateTimeOffset GetUtcNow() => Start + passed + set;

        public override long GetTimestamp() => passed.Ticks;
    }
}
