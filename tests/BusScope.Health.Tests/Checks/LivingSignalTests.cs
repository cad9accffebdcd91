using BusScope.TestKit;
using Xunit;

namespace BusScope.Health.Tests.Checks;

/// <summary>What is marked as living and stands still, in healthy traffic otherwise: when that is a finding and when not.</summary>
public class LivingSignalTests
{
    private const uint EngineId = 0x0C8;
    private const uint FanId = 0x210;
    private const uint KeyId = 0x100;

    [Fact]
    public void A_signal_that_stands_still_from_one_moment_on_is_a_warning_with_that_moment()
    {
        var report = Car.Healthy().Change(EngineId, (frame, number, at) => number < 600 ? frame : Car.EngineFrame(at * 1000, 4100, number)).Check();

        Only(report, Verdict.Go, ("signal-stuck", FindingSeverity.Warning, "Engine"));
        Assert.Equal(6, report.Findings[0].At!.Value.Seconds, 0.011);
        Assert.Equal(400, report.Findings[0].Count);
    }

    [Fact]
    public void A_signal_that_comes_to_life_late_may_rest_for_as_long_again() =>
        Only(Car.Healthy().Change(EngineId, (frame, number, at) => number is >= 300 and < 600 ? frame : Car.EngineFrame(at * 1000, 4100, number)).Check(), Verdict.Go);

    [Fact]
    public void What_is_off_by_its_condition_may_rest()
    {
        // The key goes off at 5 s; what is expected only with the key on goes on coming, but no longer lives.
        var definitions = Car.Definitions.Replace("    every: 50 ms\n    stale-after: 300 ms\n", "    every: 50 ms\n    stale-after: 300 ms\n    lives: 0F\n", StringComparison.Ordinal);
        Car Fan(double offAt) => Car.Healthy(20).Without(FanId).Every(50, FanId, 0, i => i < 100 ? $"0{i % 16:X}" : "05", 20)
            .Change(KeyId, (frame, _, at) => Some.Frame(KeyId, at < offAt ? "02" : "00", at * 1000, bus: 1));

        Assert.Contains("lives: 0F", definitions, StringComparison.Ordinal);
        Only(Fan(5).Check(definitions), Verdict.Go);
        Only(Fan(99).Check(definitions), Verdict.Inconclusive, ("payload-stuck", FindingSeverity.Warning, "Fan"));
    }

    // The module "engine" needs nothing, which is always noted.
    private static void Only(HealthReport report, Verdict verdict, params (string Code, FindingSeverity Severity, string? Message)[] expected)
    {
        Assert.Equal(expected, report.Findings.Where(finding => finding.Code != "module-needs-nothing").Select(finding => (finding.Code, finding.Severity, finding.Message)));
        Assert.Equal(verdict, report.Verdict);
    }
}
