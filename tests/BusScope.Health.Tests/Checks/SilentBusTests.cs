using BusScope.TestKit;
using Xunit;

namespace BusScope.Health.Tests.Checks;

/// <summary>A bus that sleeps with the key off: when it should have spoken, and what its falling asleep says.</summary>
public class SilentBusTests
{
    private const uint Key = 0x100;

    // The fan, the only message of its bus, is expected while the key is on.
    private static readonly string definitions = $$"""
        busscope: 1
        buses: { chassis: {}, cabin: {} }
        modules: { climate: {} }
        messages:
          Key: { id: {{Key}}, bus: cabin, every: 100 ms, length: 1, signals: { Position: { byte: 0 } } }
          Fan: { id: 0x210, bus: chassis, every: 50 ms, stale-after: 300 ms, needed-by: [climate], while: Position >= 2 }
        """;

    [Fact]
    public void Its_falling_asleep_is_a_note() => Assert.Equal((Verdict.Go, FindingSeverity.Note), VerdictAndWeight(Sleeping(from: 0), Car.Buses));

    [Fact]
    public void One_that_wakes_late_is_told_for_that_and_not_for_falling_asleep()
    {
        var report = Sleeping(from: 4).Check(definitions);

        var finding = Assert.Single(report.Findings, finding => finding.Code == "bus-silent");
        Assert.Equal((Verdict.NoGo, FindingSeverity.Fault, 2), (report.Verdict, finding.Severity, finding.Count));
        Assert.Equal("bus chassis was silent once: no frame at all for 4 s from 0 s; and is silent since 5.95 s", finding.Text);
    }

    [Fact]
    public void One_that_never_speaks_while_it_should_is_a_fault_also_when_the_key_is_off_at_the_end()
    {
        Assert.Equal((Verdict.NoGo, FindingSeverity.Fault), VerdictAndWeight(Sleeping(from: 99), Car.Buses));
        Assert.Equal((Verdict.NoGo, FindingSeverity.Fault), VerdictAndWeight(Sleeping(from: 99).Change(Key, (frame, _, at) => Some.Frame(Key, at < 6 ? "02" : "00", at * 1000, bus: 0)), [new("cabin")]));
        Assert.DoesNotContain(Sleeping(from: 99).Check(definitions).Findings, finding => finding.Code == "not-judged");
    }

    // The key is on until 6 s.
    private static Car Sleeping(double from) => Car.Healthy()
        .Without((frame, at) => frame.Id.Value != Key && !(frame.Id.Value == 0x210 && at >= from && at < 6))
        .Change(Key, (_, _, at) => Some.Frame(Key, at < 6 ? "02" : "00", at * 1000, bus: 1));

    private static (Verdict Verdict, FindingSeverity Weight) VerdictAndWeight(Car car, Frames.Bus[] buses)
    {
        var report = car.Check(definitions, buses: buses);
        return (report.Verdict, Assert.Single(report.Findings, finding => finding.Code == "bus-silent").Severity);
    }
}
