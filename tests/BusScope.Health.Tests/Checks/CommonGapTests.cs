using BusScope.TestKit;
using Xunit;

namespace BusScope.Health.Tests.Checks;

/// <summary>Many messages that are away for a while together, or never come although their condition says that they are due.</summary>
public class CommonGapTests
{
    [Theory]
    [InlineData("")]
    [InlineData("while: Position >= 2")]
    public void Eight_that_are_away_together_are_one_fault(string condition)
    {
        var report = Traffic(8).Without((frame, at) => frame.Id.Value >= 0x500 && at >= 4 && at < 6).Check(Definitions(8, condition));

        var finding = Assert.Single(Told(report));
        Assert.Equal(("stale-together", FindingSeverity.Fault, 8, Verdict.NoGo), (finding.Code, finding.Severity, finding.Count, report.Verdict));
        Assert.StartsWith(
            condition.Length == 0
                ? "8 of 14 messages (8 of bus chassis) were stale together, once each: from 3.95 s on, for 2.05 s; the others went on. As when a gateway, a fuse or a supply falls out for a while: M0, "
                : "8 of 9 messages under Position >= 2 (8 of bus chassis) were stale together, once each: from 3.95 s on, for 2.05 s; the others went on. As when a gateway, a fuse or a supply falls out for a while, or Position >= 2 is told wrongly by Key: M0, ",
            finding.Text,
            StringComparison.Ordinal);
        Assert.Equal((3.95, 6.0), (finding.At!.Value.Seconds, finding.Until!.Value.Seconds));
        Assert.Equal(["climate"], finding.Modules);
    }

    [Fact]
    public void Eight_that_stay_away_until_their_condition_ends_came_no_more() =>
        Assert.Contains(
            " from 3.95 s on, for 2.95 s, and came no more; the others went on. As when a gateway, a fuse or a supply falls out, or ",
            Assert.Single(Told(Traffic(8).Change(0x100, (frame, _, at) => Some.Frame(0x100, at < 7 ? "02" : "00", at * 1000, bus: 1))
                .Without((frame, at) => frame.Id.Value >= 0x500 && at >= 4).Check(Definitions(8, "while: Position >= 2")))).Text,
            StringComparison.Ordinal);

    [Theory]
    [InlineData(4, 9)]
    [InlineData(3, 8)]
    public void A_slow_message_that_was_not_due_until_then_was_away_with_them(double slowFrom, int together)
    {
        var report = Traffic(8).Every(1_000, 0x4F0, 0, _ => "00").Without(0x4F0, from: slowFrom - 0.5, until: 6.5)
            .Without((frame, at) => frame.Id.Value >= 0x500 && at is >= 4 and < 6).Check(Definitions(8) + "\n  Slow: { id: 0x4F0, bus: chassis, needed-by: [climate], every: 1 s, stale-after: 2500 ms }");

        Assert.Equal(together, Assert.Single(report.Findings, finding => finding.Code == "stale-together").Count);
        Assert.Equal(9 - together, report.Findings.Count(finding => finding.Code == "message-stale"));
    }

    [Theory]
    [InlineData(7, 0)]
    [InlineData(8, 600)]
    public void Seven_and_those_that_fall_out_at_other_times_are_a_fault_each(int count, int apart)
    {
        var report = Traffic(count).Without((frame, at) => frame.Id.Value >= 0x500 && Since(frame.Id.Value) is var from && at >= from && at < from + 1).Check(Definitions(count));

        Assert.Equal(Enumerable.Repeat("message-stale", count), Told(report).Select(finding => finding.Code));

        double Since(uint id) => 2 + ((id - 0x500) * apart / 1000.0);
    }

    [Theory]
    [InlineData(0)]
    [InlineData(1)]
    [InlineData(2)]
    public void Nearly_all_under_one_condition_that_never_came_are_one_fault(int came)
    {
        var report = Traffic(10).Without(0x210).Without((frame, _) => frame.Id.Value >= 0x500 + came).Check(Definitions(10, "while: Position >= 2"));

        if (came == 2)
        {
            Assert.Equal(Enumerable.Repeat("message-missing", 9), Told(report).Select(finding => finding.Code));
            return;
        }

        var finding = Assert.Single(Told(report));
        Assert.Equal(("missing-together", FindingSeverity.Fault, 11 - came, Verdict.NoGo), (finding.Code, finding.Severity, finding.Count, report.Verdict));
        Assert.StartsWith(
            $"{11 - came} of 11 messages under Position >= 2 ({11 - came} of bus chassis) never came, awaited since 0 s; others came. As when what they all come through, a gateway, a fuse or a supply, is missing, or Position >= 2 is told wrongly by Key: Fan, ",
            finding.Text,
            StringComparison.Ordinal);
    }

    [Fact]
    public void What_is_due_without_a_condition_is_missing_by_itself() =>
        Assert.Equal(Enumerable.Repeat("message-missing", 10), Told(Traffic(0).Check(Definitions(10))).Select(finding => finding.Code));

    private static IEnumerable<Finding> Told(HealthReport report) => report.Findings.Where(finding => finding.Severity > FindingSeverity.Note);

    private static Car Traffic(int count)
    {
        var car = Car.Healthy();
        for (var i = 0; i < count; i++)
        {
            car.Every(50, 0x500 + (uint)i, 0, _ => "00");
        }

        return car;
    }

    private static string Definitions(int count, string more = "") =>
        Car.Definitions.Replace("  transmission: {}", "  transmission: {}\n  climate: {}", StringComparison.Ordinal) + "\n"
        + string.Join('\n', Enumerable.Range(0, count).Select(i => $"  M{i}:\n    id: {0x500 + i}\n    bus: chassis\n    needed-by: [climate]\n    every: 50 ms\n    {more}\n"));
}
