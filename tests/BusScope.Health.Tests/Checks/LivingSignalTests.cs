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

    [Theory]
    [InlineData(600, 1_000, "Engine/Speed is not available in 400 of 1000 readings, first at 6 s and still at the end")]
    [InlineData(600, 900, "Engine/Speed is not available in 300 of 1000 readings, first at 6 s")]
    public void A_value_that_is_not_available_to_the_end_says_so(int from, int until, string text) =>
        Assert.Equal(text, Assert.Single(Car.Healthy().Change(EngineId, (frame, number, at) => number >= from && number < until ? Car.EngineFrame(at * 1000, 0xFFFF, number) : frame).Check().Findings, finding => finding.Code == "value-not-available").Text);

    [Fact]
    public void A_signal_that_comes_to_life_late_may_rest_for_as_long_again() =>
        Only(Car.Healthy().Change(EngineId, (frame, number, at) => number is >= 400 and < 700 ? frame : Car.EngineFrame(at * 1000, 4100, number)).Check(), Verdict.Go);

    [Theory]
    [InlineData(250, 300)]
    [InlineData(300, 301)]
    [InlineData(330, 331)]
    public void What_comes_to_life_late_and_then_stands_still_for_longer_than_it_had_rested_is_found(int from, int until) =>
        Only(
            Car.Healthy().Change(EngineId, (frame, number, at) => number >= from && number < until ? frame : Car.EngineFrame(at * 1000, 4100, number)).Check(),
            Verdict.Go,
            ("signal-stuck", FindingSeverity.Warning, "Engine"));

    [Fact]
    public void What_is_off_by_its_condition_may_rest_though_it_has_no_period()
    {
        var definitions = Car.Definitions.Replace("    every: 50 ms\n    stale-after: 300 ms\n", "    lives: 0F\n", StringComparison.Ordinal);
        Car Fan(double offAt) => Car.Healthy(20).Without(FanId).Every(50, FanId, 0, i => i < 100 ? $"0{i % 16:X}" : "05", 20)
            .Change(KeyId, (frame, _, at) => Some.Frame(KeyId, at < offAt ? "02" : "00", at * 1000, bus: 1));

        Assert.Contains("lives: 0F", definitions, StringComparison.Ordinal);
        Assert.DoesNotContain(Fan(5).Check(definitions).Findings, finding => finding.Code == "payload-stuck");
        Assert.Contains(Fan(99).Check(definitions).Findings, finding => finding.Code == "payload-stuck");
    }

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

    [Theory]
    [InlineData(0, "from the beginning nothing of it changed in 400 frames")]
    [InlineData(200, "from 10 s on nothing of it changed in 200 frames")]
    public void What_rests_until_its_condition_ends_has_not_lived_again(int from, string since)
    {
        // With the key off it says what it likes.
        var report = Fan(i => i < from ? i % 16 : i < 400 ? 5 : 15).Change(KeyId, (frame, _, at) => Some.Frame(KeyId, at < 20 ? "02" : "00", at * 1000, bus: 1)).Check(LivingFan);

        Only(report, Verdict.Inconclusive, ("payload-stuck", FindingSeverity.Warning, "Fan"));
        Assert.StartsWith($"Fan is constant where it used to live: {since}, as long as Position >= 2 held. Either", report.Findings[0].Text, StringComparison.Ordinal);
        Assert.Equal(19.95, report.Findings[0].Until!.Value.Seconds, 9);
    }

    [Theory]
    [InlineData(5, true)]
    [InlineData(6, true)]
    [InlineData(-1, false)]
    public void A_silence_of_the_bus_is_no_sign_of_life(int after, bool isStuck) =>
        Assert.Equal(
            isStuck,
            Fan(i => i < 300 ? 5 : after < 0 ? i % 16 : after).Without((frame, at) => frame.Bus == 0 && at is >= 14 and < 15).Check(LivingFan)
                .Findings.Any(finding => finding.Text.Contains("nothing of it changed in 580 frames, to the end", StringComparison.Ordinal)));

    private const string Timed = "    every: 50 ms\n    stale-after: 300 ms\n";

    private static readonly string LivingFan = Car.Definitions.Replace(Timed, Timed + "    lives: 0F\n", StringComparison.Ordinal);

    private static Car Fan(Func<int, int> value) => Car.Healthy(30).Without(FanId).Every(50, FanId, 0, i => $"0{value(i):X}", 30);

    // The module "engine" needs nothing, which is always noted.
    private static void Only(HealthReport report, Verdict verdict, params (string Code, FindingSeverity Severity, string? Message)[] expected)
    {
        Assert.Equal(expected, report.Findings.Where(finding => finding.Code != "module-needs-nothing").Select(finding => (finding.Code, finding.Severity, finding.Message)));
        Assert.Equal(verdict, report.Verdict);
    }
}
