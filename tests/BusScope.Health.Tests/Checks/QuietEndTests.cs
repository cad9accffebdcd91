using Xunit;

namespace BusScope.Health.Tests.Checks;

/// <summary>Adapters seldom stop in one moment: what is quiet at the end for less than a silence.</summary>
public class QuietEndTests
{
    [Fact]
    public void A_bus_that_is_quiet_at_the_very_end_for_less_than_a_silence_is_judged_up_to_then()
    {
        var report = Car.Healthy().Without((frame, at) => frame.Bus == 0 && at > 9.7).Check();

        Assert.Equal((Verdict.Inconclusive, "recording-short", FindingSeverity.Warning), (report.Verdict, report.Findings[0].Code, report.Findings[0].Severity));
        Assert.DoesNotContain(report.Findings.Skip(1), finding => finding.Severity != FindingSeverity.Note);
        Assert.StartsWith("the recording of bus chassis ends 200 ms before the last one, at 9.7 s: ", report.Findings[0].Text, StringComparison.Ordinal);
        Assert.EndsWith("or check with --for 9s", report.Findings[0].Text, StringComparison.Ordinal);
        Assert.Equal(Verdict.Go, Car.Healthy(9).Check().Verdict);
    }

    [Fact]
    public void What_had_stopped_before_its_bus_went_quiet_at_the_end_is_a_fault() =>
        Assert.Equal(Verdict.NoGo, Car.Healthy().Without((frame, at) => frame.Bus == 0 && at > 9.7).Without(0x1A0, from: 8).Check().Verdict);
}
