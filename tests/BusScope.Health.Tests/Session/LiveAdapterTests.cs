using BusScope.Frames;
using BusScope.Frames.Diagnostics;
using BusScope.Session;
using BusScope.Signals.Definitions;
using BusScope.Signals.Loading;
using BusScope.Signals.Plans;
using BusScope.Transport.Adapters;
using Microsoft.Extensions.Time.Testing;
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
    private readonly FakeTimeProvider time = new(Start);
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

    private double Passed => (time.GetUtcNow() - Start).TotalSeconds;

    private RunResult Check(double seconds, bool isWhole = false) => SessionRun.ToEnd(
        bus,
        monitor,
        null,
        TestContext.Current.CancellationToken,
        new RunOptions { Time = time, Length = FrameSpan.FromSeconds(seconds), Clear = isWhole ? null : new ClearAnswer(definitions) });

    private static FrameTime At(double seconds) => new((Start.ToUnixTimeMilliseconds() * 1_000_000) + (long)(seconds * 1e9));

    /// <summary>A bus that sends 0x101 every 20 ms and 0x102 every second, and whose time goes on by ten milliseconds with each reading.</summary>
    private sealed class LiveBus(FakeTimeProvider time) : IFrameSource
    {
        private int turn;
        private ControllerStatus status = new(ControllerState.ErrorActive);

        public HashSet<uint> Silent { get; } = [];

        public (double From, double Until) Away { get; set; }

        public (uint Id, double From) SilentAfter { get; set; }

        public string Name => "can0";

        public IReadOnlyList<Bus> Buses { get; } = [new Bus("chassis")];

        public ProblemLog Problems { get; } = new();

        public double? Progress => null;

        public SourceClock Clock => SourceClock.Ours;

        public ControllerStatus? StatusOf(int bus) => status;

        public SourceState Read(FrameBatch batch, CancellationToken cancellation)
        {
            batch.Clear();
            time.Advance(TimeSpan.FromMilliseconds(Step));
            turn++;
            var at = turn * Step / 1_000;
            var isAway = at > Away.From && at <= Away.Until;
            if (isAway != (status.State == ControllerState.Gone))
            {
                status = new ControllerStatus(isAway ? ControllerState.Gone : ControllerState.ErrorActive) { Since = At(at) };
                if (isAway)
                {
                    Problems.Add(AdapterProblems.Gone, default);
                }
            }

            if (!isAway)
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
            if (turn % every == 0 && !Silent.Contains(id) && !(SilentAfter.Id == id && at > SilentAfter.From))
            {
                batch.Add().Set(At(at), 0, new CanId(id, isExtended: false), FrameKinds.None, [1]);
            }
        }
    }
}
