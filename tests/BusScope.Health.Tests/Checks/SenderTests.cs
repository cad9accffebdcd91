using Xunit;

namespace BusScope.Health.Tests.Checks;

/// <summary>Two senders of one message, and what only looks like them.</summary>
public class SenderTests
{
    private const uint Gear = 0x1A0;

    [Fact]
    public void Two_senders_show_by_their_counters()
    {
        var report = Car.Healthy().Engine(0, 10_000, counter: 5, offset: 4.1).Check();

        Only(report, Verdict.NoGo, ("two-senders", FindingSeverity.Fault, "Engine"));
        Assert.Equal(2, report.Messages[0].Senders);
    }

    [Fact]
    public void Two_senders_show_by_their_gaps_where_there_is_no_counter() =>
        Only(Car.Healthy().Every(20, Gear, 0, _ => "0300", offset: 6).Check(), Verdict.NoGo, ("two-senders", FindingSeverity.Fault, "Gear"));

    // Clocks that are off by a part in two hundred: the second sender's frames go once all the way from one of the first to the next.
    [Fact]
    public void Two_senders_show_by_their_gaps_while_their_clocks_drift() =>
        Only(Car.Healthy().Every(20.1, Gear, 0, _ => "0300", offset: 0.5).Check(), Verdict.NoGo, ("two-senders", FindingSeverity.Fault, "Gear"));

    [Fact]
    public void Two_senders_just_halfway_between_one_another_may_be_one_that_is_too_fast()
    {
        var report = Car.Healthy().Every(20, Gear, 0, _ => "0300", offset: 10, seconds: 9.98).Check();

        Only(report, Verdict.Go, ("message-too-fast", FindingSeverity.Warning, "Gear"));
        Assert.Equal("Gear comes every 10 ms instead of every 20 ms: one sender that is too fast, or two just halfway between one another", report.Findings[0].Text);
    }

    [Theory]
    [InlineData(6)]
    [InlineData(14)]
    public void A_second_sender_that_is_slower_shows_by_frames_in_between(double offset)
    {
        var report = Car.Healthy().Every(100, Gear, 0, _ => "0000", seconds: 4, offset: 6000 + offset).Check();

        Only(report, Verdict.Go, ("extra-frames", FindingSeverity.Warning, "Gear"));
        Assert.StartsWith("Gear keeps its period of 20 ms, but 40 of 540 frames come in between, from 6 s on: ", report.Findings[0].Text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_second_sender_that_is_slower_shows_by_its_counter_as_well()
    {
        var car = Car.Healthy();
        for (var at = 6003.0; at < 10_000; at += 100)
        {
            car.Add(Car.EngineFrame(at, 4100, 5));
        }

        var report = car.Check();

        Only(report, Verdict.NoGo, ("two-senders", FindingSeverity.Fault, "Engine"));
        Assert.Equal("Engine has two senders: 40 of 1040 frames come in between the others, and have a counter of their own, from 6 s on", report.Findings[0].Text);
    }

    [Fact]
    public void A_counter_that_is_broken_by_itself_is_told_beside_frames_in_between()
    {
        var car = Car.Healthy().Change(0x0C8, (frame, number, at) => Car.EngineFrame(at * 1000, 4000 + (number % 500), number * 3));
        for (var at = 6003.0; at < 10_000; at += 100)
        {
            car.Add(Car.EngineFrame(at, 4100, 5));
        }

        var codes = car.Check().Findings.Select(finding => finding.Code).ToList();
        Assert.Contains("counter-skipped", codes);
        Assert.Contains("extra-frames", codes);
        Assert.DoesNotContain("two-senders", codes);
    }

    [Fact]
    public void Pairs_while_nothing_is_expected_make_no_second_sender()
    {
        var car = Car.Healthy().Every(50, 0x210, 0, _ => "55", seconds: 9, offset: 12).Change(0x100, (frame, _, at) => at < 9 ? TestKit.Some.Frame(0x100, "00", at * 1000, 1) : frame);

        Only(car.Check(), Verdict.Go);
    }

    [Fact]
    public void A_few_frames_in_between_are_none() => Only(Car.Healthy().Every(100, Gear, 0, _ => "0300", seconds: 0.65, offset: 6).Check(), Verdict.Go);

    // As real cars do: what changes is sent at once, and twice more soon after. Nothing in the file knows it, and nothing makes up for the short gaps.
    [Fact]
    public void A_message_that_is_also_sent_on_change_has_one_sender()
    {
        var car = Car.Healthy();
        for (var at = 90.0; at < 9_900; at += 100)
        {
            car.Every(4, Gear, 0, _ => "0300", 0.02, at + 1);
        }

        Only(car.Check(), Verdict.Go, ("message-too-fast", FindingSeverity.Warning, "Gear"));
    }

    [Fact]
    public void A_second_sender_that_breaks_the_counter_is_one_finding()
    {
        // Shifted by a third of the period, and counting by no rule.
        var random = new Random(1);
        var car = Car.Healthy();
        for (var i = 0; i < 1000; i++)
        {
            car.Add(Car.EngineFrame(3.6 + (i * 10), 4000 + (i % 500), random.Next(16)));
        }

        Only(car.Check(), Verdict.NoGo, ("two-senders", FindingSeverity.Fault, "Engine"));
    }

    private static void Only(HealthReport report, Verdict verdict, params (string Code, FindingSeverity Severity, string? Message)[] expected)
    {
        var found = report.Findings.Where(finding => finding.Code != "module-needs-nothing").Select(finding => (finding.Code, finding.Severity, finding.Message));

        Assert.Equal(expected.Where(finding => finding.Code != "module-needs-nothing").Order(), found.Order());
        Assert.Equal(verdict, report.Verdict);
    }
}
