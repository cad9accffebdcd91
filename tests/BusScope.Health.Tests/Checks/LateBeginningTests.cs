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
    public void What_a_condition_says_is_due_is_a_fault_each() => Faulty(Woken(8).Check(Definitions(8, _ => "while: Position >= 2")), 8);

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
