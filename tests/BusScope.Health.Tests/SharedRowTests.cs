using BusScope.Frames;
using BusScope.Health.Tests.Checks;
using BusScope.Signals.Loading;
using BusScope.Signals.Plans;
using BusScope.TestKit;
using Xunit;

namespace BusScope.Health.Tests;

/// <summary>Which rows of a report are those of the report before.</summary>
public sealed class SharedRowTests
{
    private static readonly DefinitionPlan plan = new(DefinitionLoader.LoadTexts(
    [
        new SourceText("test.yaml", """
            busscope: 1
            messages:
              Quick: { id: 0x100, every: 10 ms }
              Slow: { id: 0x200, every: 1 s }
            """),
    ]).Definitions!);

    [Fact]
    public void A_message_keeps_its_row_until_something_of_it_changes()
    {
        var monitor = new HealthMonitor(plan, new MonitorOptions { MarkChanges = true });
        Accept(monitor, Some.Frame(0x100, "01"), Some.Frame(0x200, "02"), Some.Frame(0x300, "03"));
        var first = monitor.Report(isFinal: false).Messages;

        Accept(monitor, Some.Frame(0x100, "04", milliseconds: 10));
        var second = monitor.Report(isFinal: false).Messages;

        Assert.Equal([false, true, true], first.Zip(second).Select(pair => ReferenceEquals(pair.First, pair.Second)));
        Assert.Equal(("01", "04"), (Convert.ToHexString(first[0].Payload.Span), Convert.ToHexString(second[0].Payload.Span)));

        // Time alone makes it stale.
        monitor.Advance(new FrameTime(FrameSpan.FromSeconds(20).Nanoseconds));
        var third = monitor.Report(isFinal: false).Messages;
        Assert.NotSame(second[1], third[1]);
        Assert.NotSame(third[1], monitor.Report(isFinal: true).Messages[1]);
    }

    [Fact]
    public void A_report_made_anew_says_what_the_reports_on_the_way_led_to()
    {
        var (watched, alone) = (new HealthMonitor(plan, new MonitorOptions { MarkChanges = true }), new HealthMonitor(plan, new MonitorOptions { MarkChanges = true }));
        var dice = new Random(5);
        for (var (milliseconds, turn) = (0, 0); turn < 400; turn++)
        {
            milliseconds += dice.Next(8) == 0 ? dice.Next(3_000) : dice.Next(12);
            var frame = Some.Frame((uint)(0x100 * (1 + dice.Next(3))), $"{turn:X4}", milliseconds);
            Accept(watched, frame);
            Accept(alone, frame);
            var now = watched.Report(isFinal: false);
            if (turn % 20 == 19)
            {
                Assert.Equal(Dump.Of(alone.Copy().Report(isFinal: false)), Dump.Of(now));
            }
        }
    }

    private static void Accept(HealthMonitor monitor, params Frame[] frames) => monitor.Accept(Some.Batches(frames).First(), Car.Buses);
}
