using BusScope.TestKit;
using Xunit;

namespace BusScope.Health.Tests.Checks;

/// <summary>A bus falls silent, and while it is, the condition ends under which its messages are expected.</summary>
public class ConditionInSilenceTests
{
    // Everything on the bus that falls silent is expected with the key on only.
    private static readonly string underKey = Car.Definitions
        .Replace("every: 10 ms", "every: 10 ms\n    while: Position >= 2", StringComparison.Ordinal)
        .Replace("every: 20 ms", "every: 20 ms\n    while: Position >= 2", StringComparison.Ordinal);

    [Fact]
    public void The_silence_is_one_fault_and_none_of_each_message()
    {
        var report = Silent(5, keyOff: 7).Check();

        Assert.Equal("bus chassis is silent since 4.99 s: no frame at all for 4.91 s", Only(report, FindingSeverity.Fault));
        Assert.Equal(Verdict.NoGo, report.Verdict);
    }

    [Fact]
    public void What_was_expected_when_the_bus_had_fallen_silent_starves_though_nothing_is_expected_any_more()
    {
        Assert.Equal("bus chassis is silent since 4.99 s: no frame at all for 4.91 s", Only(Silent(5, keyOff: 7).Check(underKey), FindingSeverity.Fault));
        Assert.Equal("bus chassis was silent once: no frame at all for 3.01 s from 4.99 s", Only(Silent(5, keyOff: 7, until: 8).Check(underKey), FindingSeverity.Fault));
    }

    [Fact]
    public void A_bus_that_falls_silent_with_its_condition_starves_nobody()
    {
        var report = Silent(6.95, keyOff: 7).Check(underKey);

        Only(report, FindingSeverity.Note);
        Assert.Equal(Verdict.Go, report.Verdict);
    }

    [Fact]
    public void A_pause_in_which_a_condition_ended_is_no_shorter_for_that() =>
        Only(Silent(6.5, keyOff: 7).Without((_, at) => at > 7.3).Check(underKey), FindingSeverity.Warning, "recording-short");

    [Fact]
    public void A_message_that_stopped_before_the_bus_did_is_still_reported() =>
        Assert.Contains(Silent(5, keyOff: 7).Without(0x210, from: 3).Check().Findings, finding => finding is { Code: "message-stale", Message: "Fan", Severity: FindingSeverity.Fault });

    [Fact]
    public void What_never_came_before_the_bus_fell_silent_is_not_missing_for_the_silence() =>
        Only(Silent(0.5, keyOff: 7).Without(0x210).Check(), FindingSeverity.Fault);

    private static string Only(HealthReport report, FindingSeverity severity, string code = "bus-silent")
    {
        var finding = Assert.Single(report.Findings, finding => finding.Code is "bus-silent" or "recording-short" or "message-stale" or "message-missing" or "message-stopped");
        Assert.Equal((code, severity), (finding.Code, finding.Severity));
        return finding.Text;
    }

    private static Car Silent(double from, double keyOff, double until = 99) => Car.Healthy()
        .Without((frame, at) => frame.Bus == 0 && at >= from && at < until)
        .Change(0x100, (frame, _, at) => Some.Frame(0x100, at < keyOff ? "02" : "00", at * 1000, bus: 1));
}
