using BusScope.TestKit;
using Xunit;

namespace BusScope.Health.Tests.Checks;

/// <summary>What never changed in the healthy car and is another constant now: told as a hint, byte by byte.</summary>
public class ConstantPayloadTests
{
    private static readonly string definitions = Car.Definitions.Replace("id: 0x1A0", "id: 0x1A0\n    constant: 03 0-", StringComparison.Ordinal);
    private static readonly string living = definitions.Replace("constant: 03 0-", "constant: 03\n    lives: 00 0F", StringComparison.Ordinal);

    [Fact]
    public void A_constant_that_is_another_one_is_a_warning_that_changes_no_verdict()
    {
        var report = Gear(_ => "04A7").Check(definitions);

        var finding = Assert.Single(Told(report));
        Assert.Equal(("payload-differs", FindingSeverity.Warning, "Gear", Verdict.Go), (finding.Code, finding.Severity, finding.Message, report.Verdict));
        Assert.Equal("Gear is constant at something else than before: byte 0 is 04 instead of 03, byte 1 is A- instead of 0-, in all 500 frames", finding.Text);
        Assert.Equal((500, 0.0, 9.98), (finding.Count, finding.At!.Value.Seconds, finding.Until!.Value.Seconds));
        Assert.Equal(["cluster"], finding.Modules);
    }

    [Fact]
    public void The_same_constant_and_what_changes_in_the_check_are_no_finding()
    {
        Assert.Empty(Told(Gear(i => $"030{i % 16:X}").Check(definitions)));
        Assert.Empty(Told(Gear(i => i % 2 == 0 ? "0400" : "0500").Check(definitions.Replace("constant: 03", "constant: -3", StringComparison.Ordinal))));
    }

    [Fact]
    public void One_digit_that_stands_still_is_told_beside_one_that_changes() =>
        Assert.Contains("byte 0 is 2- instead of 0-,", Assert.Single(Told(Gear(i => $"2{i % 16:X}00").Check(definitions))).Text, StringComparison.Ordinal);

    [Theory]
    [InlineData(7, false)]
    [InlineData(8, true)]
    public void Few_frames_have_nothing_constant(int frames, bool isTold)
    {
        var monitor = Car.Monitor(definitions);
        foreach (var batch in Some.Batches(Enumerable.Range(0, frames).Select(i => Some.Frame(0x1A0, "0400", i * 20))))
        {
            monitor.Accept(batch, Car.Buses);
        }

        Assert.Equal(isTold, monitor.Report(isFinal: true).Findings.Any(finding => finding.Code == "payload-differs"));
    }

    [Fact]
    public void A_payload_that_is_frozen_as_a_whole_is_told_as_that() =>
        Assert.Equal(["payload-stuck"], Told(Gear(_ => "0400").Check(living)).Select(finding => finding.Code));

    [Fact]
    public void A_frozen_payload_says_what_of_it_never_changed_before_and_a_car_that_stands_is_still_not_judged()
    {
        var report = Gear(_ => "0400").Check(living);

        Assert.Equal(Verdict.Inconclusive, report.Verdict);
        Assert.Contains(" to the end. What never changed is something else as well: byte 0 is 04 instead of 03. Either its sender froze, or", Assert.Single(Told(report)).Text, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(0, "from the beginning")]
    [InlineData(250, "from 5 s on")]
    public void A_frozen_payload_of_nothing_but_ones_where_something_never_was_is_a_fault(int from, string since)
    {
        var report = Gear(i => i < from ? $"030{i % 16:X}" : "FFFF").Check(living);

        var finding = Assert.Single(Told(report));
        Assert.Equal(("payload-stuck", FindingSeverity.Fault, Verdict.NoGo), (finding.Code, finding.Severity, report.Verdict));
        Assert.Equal(
            $"Gear is constant where it used to live: {since} nothing of it changed in {500 - from} frames, to the end. All its bits are 1, which many senders use for \"not available\" (SAE J1939-71)."
            + " What never changed is something else as well: byte 0 is FF instead of 03. Its sender tells nothing of what it told in the healthy car, which no car does because it stands",
            finding.Text);
    }

    [Fact]
    public void What_a_frozen_payload_becomes_when_its_condition_has_ended_is_not_held_against_it()
    {
        var report = Gear(i => i < 300 ? "0305" : "FFFF").Change(0x100, (frame, _, at) => Some.Frame(0x100, at < 6 ? "02" : "00", at * 1000, bus: 1))
            .Check(living.Replace("constant: 03", "while: Position >= 2\n    constant: 03", StringComparison.Ordinal));

        Assert.Equal(("payload-stuck", FindingSeverity.Warning, Verdict.Inconclusive), (Assert.Single(Told(report)).Code, Told(report).Single().Severity, report.Verdict));
        Assert.DoesNotContain("something else", Told(report).Single().Text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_frozen_payload_of_nothing_but_ones_that_contradicts_nothing_is_not_judged()
    {
        var report = Gear(_ => "FFFF").Check(definitions.Replace("constant: 03 0-", "lives: 00 0F", StringComparison.Ordinal));

        Assert.Equal((FindingSeverity.Warning, Verdict.Inconclusive), (Assert.Single(Told(report)).Severity, report.Verdict));
        Assert.Contains("not available", Told(report).Single().Text, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("FFFF", Verdict.Inconclusive)]
    [InlineData("FFFE", Verdict.Go)]
    public void A_payload_of_nothing_but_ones_where_something_never_was_is_not_judged_by_a_file_that_knows_no_life(string payload, Verdict verdict)
    {
        var report = Gear(_ => payload).Check(definitions);

        Assert.Equal(verdict, report.Verdict);
        Assert.Equal(verdict != Verdict.Go, Assert.Single(Told(report)).Text.Contains("All its bits are 1", StringComparison.Ordinal));
    }

    [Fact]
    public void What_tells_nothing_at_the_end_any_more_is_not_judged_though_the_file_knows_no_life()
    {
        var report = Gear(i => i < 300 ? "0300" : "FFFF").Check(definitions);

        Assert.Equal(("payload-differs", FindingSeverity.Warning, Verdict.Inconclusive), (Assert.Single(Told(report)).Code, Told(report).Single().Severity, report.Verdict));
        Assert.StartsWith("Gear tells nothing at the end: byte 0 is FF instead of 03, byte 1 is F- instead of 0-. All its bits are 1,", Told(report).Single().Text, StringComparison.Ordinal);
    }

    [Fact]
    public void What_told_nothing_for_a_while_only_or_while_nothing_was_expected_is_judged()
    {
        Assert.Equal(Verdict.Go, Gear(i => i is >= 300 and < 400 ? "FFFF" : "0300").Check(definitions).Verdict);
        Assert.Equal(Verdict.Go, Gear(i => i < 300 ? "0300" : "FFFF").Change(0x100, (_, _, at) => Some.Frame(0x100, at < 6 ? "02" : "00", at * 1000, bus: 1))
            .Check(definitions.Replace("constant: 03", "while: Position >= 2\n    constant: 03", StringComparison.Ordinal)).Verdict);
    }

    [Fact]
    public void A_counter_beside_nothing_but_ones_is_no_word_from_its_sender() =>
        Assert.Equal(Verdict.Inconclusive, Car.Healthy().Without(0x1A0).Every(20, 0x1A0, 0, i => $"FFFFF{i % 16:X}").Check(
            definitions.Replace("length: 2", "length: 3\n    counter: { byte: 2, bits: 0..3 }", StringComparison.Ordinal)).Verdict);

    private static IEnumerable<Finding> Told(HealthReport report) => report.Findings.Where(finding => finding.Severity > FindingSeverity.Note);

    private static Car Gear(Func<int, string> payload) => Car.Healthy().Without(0x1A0).Every(20, 0x1A0, 0, payload);
}
