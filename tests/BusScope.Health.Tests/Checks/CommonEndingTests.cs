using BusScope.Frames;
using BusScope.TestKit;
using Xunit;

namespace BusScope.Health.Tests.Checks;

/// <summary>Many messages that stop together while others go on: the ignition was switched off, or what they all come through fell out.</summary>
public class CommonEndingTests
{
    [Fact]
    public void Eight_that_stop_together_are_one_fault()
    {
        var report = Dying(8).Check(Definitions(8));

        var finding = Assert.Single(Told(report));
        Assert.Equal(("stopped-together", FindingSeverity.Fault, 8), (finding.Code, finding.Severity, finding.Count));
        Assert.StartsWith("8 of 14 messages (8 of bus chassis) stopped within 150 ms from 4.95 s on and stayed away; the others go on. Until then nothing was wrong. ", finding.Text, StringComparison.Ordinal);
        Assert.Contains(" (--for 4s)", finding.Text, StringComparison.Ordinal);
        Assert.Equal(["climate"], finding.Modules);
        Assert.Equal([Verdict.Go, Verdict.Go, Verdict.Go, Verdict.NoGo], report.Modules.Select(module => module.Verdict));
        Assert.Equal(Verdict.NoGo, report.Verdict);
        Assert.Equal(8, report.Messages.Count(message => message.State == MessageState.Stale));
    }

    [Fact]
    public void Nothing_is_said_of_before_where_something_was_wrong_before()
    {
        var report = Dying(8).Without(0x400, from: 2, until: 3).Check(Definitions(8));

        Assert.DoesNotContain("Until then", Assert.Single(report.Findings, finding => finding.Code == "stopped-together").Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Seven_are_a_fault_each() => Faulty(Dying(7).Check(Definitions(7)), 7);

    [Fact]
    public void Eight_of_one_known_sender_are_a_fault_each() => Faulty(Dying(8).Check(Definitions(8, "from: engine")), 8);

    [Fact]
    public void Eight_under_one_condition_are_one_fault_that_names_what_tells_it() =>
        Assert.StartsWith(
            "8 of 9 messages under Position >= 2 (8 of bus chassis) stopped within 150 ms from 4.95 s on and stayed away; the others go on. Until then nothing was wrong. As when a gateway, a fuse or a supply falls out, or Position >= 2 is told wrongly by Key: Dying0, ",
            Assert.Single(Told(Dying(8).Check(Definitions(8, "while: Position >= 2"))), finding => finding.Code == "stopped-together").Text,
            StringComparison.Ordinal);

    [Fact]
    public void Messages_under_two_conditions_are_not_together()
    {
        var definitions = Definitions(8, "while: Position >= 2");
        var half = definitions.IndexOf("  Dying4:", StringComparison.Ordinal);
        Faulty(Dying(8).Check(definitions[..half] + definitions[half..].Replace("Position >= 2", "Position >= 1", StringComparison.Ordinal)), 8);
    }

    [Fact]
    public void Endings_more_than_half_a_second_apart_are_not_together() => Faulty(Dying(8, apart: 550).Check(Definitions(8)), 8);

    [Theory]
    [InlineData(3.5, 9)]
    [InlineData(2.5, 8)]
    public void A_slow_message_that_was_not_due_until_then_stopped_with_them(double slowUntil, int together)
    {
        var report = Dying(8).Every(1_000, 0x700, 0, _ => "00", slowUntil)
            .Check(Definitions(8) + "\n  Slow: { id: 0x700, bus: chassis, needed-by: [climate], every: 1.3 s, late-after: 1.96 s, stale-after: 3 s }");

        var finding = Assert.Single(report.Findings, finding => finding.Code == "stopped-together");
        Assert.Equal(together, finding.Count);
        Assert.StartsWith($"{together} of 15 messages ({together} of bus chassis) stopped within 150 ms from 4.95 s on and stayed away; the others go on. ", finding.Text, StringComparison.Ordinal);
        Assert.Equal(9 - together, report.Findings.Count(finding => finding.Code == "message-stopped"));
    }

    [Theory]
    [InlineData(false, "Gear")]
    [InlineData(true, "ClusterStatus")]
    public void The_worst_message_of_a_module_is_one_that_its_verdict_is_made_of(bool isGone, string worst)
    {
        var report = Car.Healthy().Without(0x1A0, from: 3).Without(0x320, from: isGone ? 3 : 99).Check();

        Assert.Equal(worst, report.Messages[report.Modules[1].Worst!.Value].Definition!.Name);
    }

    [Fact]
    public void A_module_that_is_gone_itself_is_told_before_what_it_lacks() =>
        Assert.Equal(
            ["module-silent", "message-missing"],
            Car.Healthy().Without(0x1A0).Without(0x320, from: 3).Check().Findings.Where(finding => finding.Severity == FindingSeverity.Fault).Select(finding => finding.Code));

    [Fact]
    public void What_cannot_be_judged_is_worse_than_what_is_merely_not_as_it_should_be()
    {
        var report = Car.Healthy().Without(0x100, from: 3).Change(0x0C8, (frame, number, _) => number == 50 ? Car.EngineFrame(frame.Time.Nanoseconds / 1e6, 4000, 0) : frame).Check();

        Assert.Equal((Verdict.Inconclusive, "Fan"), (report.Modules[1].Verdict, report.Messages[report.Modules[1].Worst!.Value].Definition!.Name));
    }

    [Fact]
    public void A_module_whose_own_message_came_on_another_bus_is_not_gone()
    {
        var report = Car.Healthy().Change(0x320, (frame, _, at) => Some.Frame(0x320, "0101", at * 1000, bus: 0)).Check();

        Assert.DoesNotContain(report.Findings, finding => finding.Code == "module-silent");
        Assert.Contains(report.Findings, finding => finding is { Code: "wrong-bus", Message: "ClusterStatus" });
        Assert.NotEqual(Verdict.Go, report.Verdict);
    }

    [Fact]
    public void A_message_that_moves_to_another_bus_is_told_as_that()
    {
        var report = Car.Healthy().Change(0x1A0, (frame, _, at) => at < 5 ? frame : Some.Frame(0x1A0, "0300", at * 1000, bus: 1)).Check();

        var finding = Assert.Single(Told(report));
        Assert.Equal(("wrong-bus", FindingSeverity.Fault, "Gear comes on bus cabin from 5 s on, 250 times, and on its own bus chassis no more since 4.98 s"), (finding.Code, finding.Severity, finding.Text));
        Assert.Equal(Verdict.NoGo, report.Verdict);
    }

    [Fact]
    public void What_came_on_another_bus_all_along_has_not_moved_there() =>
        Assert.Contains("message-stopped", Told(Car.Healthy().Without(0x1A0, from: 5).Every(20, 0x1A0, 1, _ => "0300").Check()).Select(finding => finding.Code));

    [Theory]
    [InlineData(5.0, 2)]
    [InlineData(3.0, 0)]
    public void Buses_that_fall_silent_together_say_so(double other, int told)
    {
        var monitor = Car.Monitor();
        foreach (var batch in Some.Batches(Car.Healthy().Without((frame, at) => at >= (frame.Bus == 0 ? 5 : other)).Frames.OrderBy(frame => frame.Time)))
        {
            monitor.Accept(batch, Car.Buses);
        }

        monitor.Advance(new FrameTime(0) + FrameSpan.FromSeconds(10));

        Assert.Equal(told, monitor.Report(isFinal: true).Findings.Count(finding => finding.Code == "bus-silent" && finding.Text.Contains("All buses fell silent together", StringComparison.Ordinal)));
    }

    [Fact]
    public void Buses_that_were_silent_together_and_speak_again_say_so() =>
        Assert.All(
            Car.Healthy().Without((_, at) => at is >= 5 and < 7).Check().Findings.Where(finding => finding.Code == "bus-silent"),
            finding => Assert.EndsWith(". All buses fell silent together: the car went to sleep, the ignition was switched off, the adapter lost its supply, or its clock was set forward", finding.Text, StringComparison.Ordinal));

    private static void Faulty(HealthReport report, int count)
    {
        Assert.Equal(Enumerable.Repeat(("message-stopped", FindingSeverity.Fault), count), Told(report).Select(finding => (finding.Code, finding.Severity)));
        Assert.Equal(Verdict.NoGo, report.Verdict);
    }

    private static IEnumerable<Finding> Told(HealthReport report) => report.Findings.Where(finding => finding.Severity > FindingSeverity.Note);

    private static Car Dying(int count, double apart = 20)
    {
        var car = Car.Healthy();
        for (var i = 0; i < count; i++)
        {
            car.Every(50, 0x500 + (uint)i, 0, _ => "00", 5 + (i * apart / 1000));
        }

        return car;
    }

    private static string Definitions(int count, string? more = null) =>
        Car.Definitions.Replace("  transmission: {}", "  transmission: {}\n  climate: {}", StringComparison.Ordinal) + "\n"
        + string.Join('\n', Enumerable.Range(0, count).Select(i => $"  Dying{i}:\n    id: {0x500 + i}\n    bus: chassis\n    needed-by: [climate]\n    every: 50 ms\n{(more is null ? "" : $"    {more}\n")}"));
}
