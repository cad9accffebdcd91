using BusScope.Frames;
using BusScope.Signals.Definitions;
using BusScope.Signals.Loading;
using BusScope.Signals.Plans;
using BusScope.TestKit;
using BusScope.Transport;
using Xunit;

namespace BusScope.Health.Tests;

/// <summary>What is known of the real captures (their SOURCES.md, from an independent analysis) is what the monitor says.</summary>
public class RealCaptureTests
{
    [Fact]
    public void The_bench_board_sends_22_identifiers_at_the_vehicles_periods()
    {
        var bench = Watch("drive-controller-alone-on-bench.csv");
        var vehicle = Watch("vehicle-two-buses-off-on-ready-off.csv");

        Assert.Equal(9_473, bench.Frames);
        Assert.Equal(39_546, vehicle.Frames);
        Assert.Equal([101, 52], vehicle.Buses.Select(bus => bus.Identifiers));
        Assert.Equal(22, bench.Messages.Count);
        var onFirstBus = vehicle.Messages.Where(message => message.Bus == vehicle.Buses[0].Name).ToDictionary(message => message.Id!.Value);
        Assert.Equal(79, onFirstBus.Keys.Except(bench.Messages.Select(message => message.Id!.Value)).Count());
        Assert.All(bench.Messages, message =>
        {
            // "The same median periods": to the millisecond of jitter that the recording has.
            var own = message.Period.Median!.Value.Milliseconds;
            var there = onFirstBus[message.Id!.Value].Period.Median!.Value.Milliseconds;
            Assert.True(Math.Abs(own - there) < Math.Max(0.5, 0.02 * own), $"{message.Id}: {own} ms on the bench, {there} ms in the vehicle");
        });
    }

    [Fact]
    public void The_checksum_of_two_messages_holds_in_every_frame()
    {
        const string file = "vehicle-two-buses-off-on-ready-off.csv";
        var bus = Watch(file).Messages.Single(message => message.Id == new CanId(0x130, false)).Bus;
        var definitions = $$"""
            busscope: 1
            buses: { "{{bus}}": {} }
            messages:
              A: { id: 0x130, bus: "{{bus}}", length: 8, counter: { byte: 6, bits: 0..3 }, checksum: { byte: 7, algorithm: crc8-sae-j1850, over: 0..6 } }
              B: { id: 0x140, bus: "{{bus}}", length: 8, counter: { byte: 6, bits: 0..3 }, checksum: { byte: 7, algorithm: crc8-sae-j1850, over: 0..6 } }
            """;
        var loaded = DefinitionLoader.LoadText(definitions, "two.yaml");
        using var source = CaptureFile.Open(RepoFiles.Shared("captures", file));

        var report = Watch(source, loaded.Definitions ?? throw new InvalidDataException(string.Join('\n', loaded.Diagnostics)));

        // Rows of the text table with these identifiers, counted by awk.
        Assert.Equal([698L, 697L], report.Messages.Take(2).Select(row => row.Frames));
        Assert.All(report.Messages.Take(2), row => Assert.Equal((0L, 0L), (row.ChecksumBad, row.WrongLength)));
    }

    [Fact]
    public void Stale_rows_before_the_clock_is_set_anew_spoil_neither_periods_nor_states()
    {
        var report = Watch("small-bus-stale-rows-negative-times.csv");

        Assert.Equal(27_982, report.Frames);
        Assert.Equal(6, report.Messages.Count);
        Assert.Equal(1, report.Buses[0].ClockRestarts);
        Assert.Equal(-0.364, report.First!.Value.Seconds, 3);
        Assert.All(report.Messages, message => Assert.True(message.Period.Longest < FrameSpan.FromSeconds(20)));
    }

    private static HealthReport Watch(string file)
    {
        using var source = CaptureFile.Open(RepoFiles.Shared("captures", file));
        return Watch(source, DefinitionSet.Empty);
    }

    private static HealthReport Watch(IFrameSource source, DefinitionSet definitions)
    {
        var monitor = new HealthMonitor(new DefinitionPlan(definitions), new MonitorOptions());
        var batch = new FrameBatch();
        while (source.Read(batch, TestContext.Current.CancellationToken) != SourceState.Ended)
        {
            monitor.Accept(batch, source.Buses);
        }

        return monitor.Report(isFinal: true);
    }
}
