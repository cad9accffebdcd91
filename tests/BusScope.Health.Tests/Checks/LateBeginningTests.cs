using Xunit;

namespace BusScope.Health.Tests.Checks;

/// <summary>Many messages that begin together after the check did: the ignition was switched on meanwhile, or a gateway woke late. Nobody can tell which.</summary>
public class LateBeginningTests
{
    private const double Awake = 3000;

    [Fact]
    public void Eight_that_begin_together_are_one_warning_and_inconclusive()
    {
        var report = Woken(8).Check(Definitions(8));

        var finding = Assert.Single(Told(report));
        Assert.Equal(("began-together", FindingSeverity.Warning, 8), (finding.Code, finding.Severity, finding.Count));
        Assert.StartsWith("8 messages began together, 3 s after the check did: ", finding.Text, StringComparison.Ordinal);
        Assert.Equal((0.0, 3.14), (finding.At!.Value.Seconds, finding.Until!.Value.Seconds));
        Assert.Equal(["climate"], finding.Modules);
        Assert.Equal([("engine", Verdict.Go), ("cluster", Verdict.Go), ("transmission", Verdict.Go), ("climate", Verdict.Inconclusive)], report.Modules.Select(module => (module.Definition.Name, module.Verdict)));
        Assert.Equal(Verdict.Inconclusive, report.Verdict);
    }

    [Fact]
    public void Seven_are_a_fault_each() => Faulty(Woken(7).Check(Definitions(7)), 7);

    [Fact]
    public void Eight_of_one_known_sender_are_a_fault_each() => Faulty(Woken(8).Check(Definitions(8, _ => "from: engine")), 8);

    [Fact]
    public void Eight_of_two_known_senders_are_one_warning() =>
        Assert.Equal("began-together", Assert.Single(Told(Woken(8).Check(Definitions(8, i => i == 0 ? "from: engine" : "from: cluster")))).Code);

    [Fact]
    public void Eight_that_their_condition_says_are_due_are_one_fault()
    {
        var report = Woken(8).Check(Definitions(8, _ => "while: Position >= 2"));

        var finding = Assert.Single(Told(report));
        Assert.Equal(("stale-together", FindingSeverity.Fault, 8, Verdict.NoGo), (finding.Code, finding.Severity, finding.Count, report.Verdict));
        Assert.StartsWith("8 of 9 messages under Position >= 2 (8 of bus chassis) came late together: first 3 s to 3.14 s after they were due at 0 s. As when what they all come through wakes late, or Position >= 2 is told wrongly by Key: Late0, ", finding.Text, StringComparison.Ordinal);
        Assert.Equal((0.0, 3.14), (finding.At!.Value.Seconds, finding.Until!.Value.Seconds));
        Assert.Equal(["climate"], finding.Modules);
    }

    [Fact]
    public void One_that_begins_late_by_itself_is_told_as_that() =>
        Assert.Equal("Late0 came late: first 3 s after it was due at 0 s, awaited for 1 s", Assert.Single(Told(Woken(1).Check(Definitions(1)))).Text);

    [Fact]
    public void Beginnings_more_than_half_a_second_apart_are_not_together() => Faulty(Woken(8, apart: 501).Check(Definitions(8)), 8);

    [Fact]
    public void One_that_fails_later_as_well_is_a_fault_by_itself()
    {
        var report = Woken(9).Without(0x500, from: 5, until: 6).Check(Definitions(9));

        Assert.Equal([("began-together", 8), ("message-stale", 2)], Told(report).Select(finding => (finding.Code, finding.Count)).Order());
        Assert.Equal(Verdict.NoGo, report.Verdict);
    }

    [Fact]
    public void One_that_stops_again_is_not_excused()
    {
        var report = Woken(8).Without(0x500, from: 5).Check(Definitions(8));

        Assert.Equal(["began-together", "message-stopped"], Told(report).Select(finding => finding.Code).Order());
        Assert.Equal(Verdict.NoGo, report.Verdict);
    }

    private static void Faulty(HealthReport report, int count)
    {
        Assert.Equal(Enumerable.Repeat(("message-stale", FindingSeverity.Fault), count), Told(report).Select(finding => (finding.Code, finding.Severity)));
        Assert.Equal(Verdict.NoGo, report.Verdict);
    }

    private static IEnumerable<Finding> Told(HealthReport report) => report.Findings.Where(finding => finding.Severity > FindingSeverity.Note);

    private static Car Woken(int count, double apart = 20)
    {
        var car = Car.Healthy();
        for (var i = 0; i < count; i++)
        {
            car.Every(50, 0x500 + (uint)i, 0, _ => "00", (10_000 - Awake - (i * apart)) / 1000, Awake + (i * apart));
        }

        return car;
    }

    private static string Definitions(int count, Func<int, string>? more = null) =>
        Car.Definitions.Replace("  transmission: {}", "  transmission: {}\n  climate: {}", StringComparison.Ordinal) + "\n"
        + string.Join('\n', Enumerable.Range(0, count).Select(i => $"  Late{i}:\n    id: {0x500 + i}\n    bus: chassis\n    needed-by: [climate]\n    every: 50 ms\n{(more is null ? "" : $"    {more(i)}\n")}"));
}
