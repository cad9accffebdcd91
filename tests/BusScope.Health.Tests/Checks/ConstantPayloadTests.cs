using BusScope.TestKit;
using Xunit;

namespace BusScope.Health.Tests.Checks;

/// <summary>What never changed in the healthy car and is another constant now: told as a hint, byte by byte.</summary>
public class ConstantPayloadTests
{
    private static readonly string definitions = Car.Definitions.Replace("id: 0x1A0", "id: 0x1A0\n    constant: 03 0-", StringComparison.Ordinal);

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
        Assert.Equal(["payload-stuck"], Told(Gear(_ => "0400").Check(definitions.Replace("constant: 03 0-", "constant: 03\n    lives: 00 0F", StringComparison.Ordinal))).Select(finding => finding.Code));

    private static IEnumerable<Finding> Told(HealthReport report) => report.Findings.Where(finding => finding.Severity > FindingSeverity.Note);

    private static Car Gear(Func<int, string> payload) => Car.Healthy().Without(0x1A0).Every(20, 0x1A0, 0, payload);
}
