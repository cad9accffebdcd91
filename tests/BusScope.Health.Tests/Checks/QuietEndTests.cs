using BusScope.TestKit;
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
    public void Messages_that_were_in_time_when_their_bus_was_heard_last_are_late_in_one_note()
    {
        var report = QuietAtTheEnd().Check();

        var note = Assert.Single(report.Findings, finding => finding.Code == "message-late");
        Assert.Equal((Verdict.Go, FindingSeverity.Note, 3, "chassis"), (report.Verdict, note.Severity, note.Count, note.Bus));
        Assert.Equal("the last frame of bus chassis came 60 ms before the end, where 3 messages are late because of it: Engine, Gear, Fan", note.Text);
    }

    [Fact]
    public void One_that_was_late_before_its_bus_was_heard_last_is_told_by_itself() =>
        Assert.Equal(
            [null, "Gear"],
            QuietAtTheEnd().Without(0x1A0, from: 9.9).Check().Findings.Where(finding => finding.Code == "message-late").Select(finding => finding.Message).Order());

    [Fact]
    public void What_had_stopped_before_its_bus_went_quiet_at_the_end_is_a_fault() =>
        Assert.Equal(Verdict.NoGo, Car.Healthy().Without((frame, at) => frame.Bus == 0 && at > 9.7).Without(0x1A0, from: 8).Check().Verdict);

    private static Car QuietAtTheEnd() => Car.Healthy().Without((frame, at) => frame.Bus == 0 && at > 9.94).Add(Some.Frame(0x400, "00000000", 10_000, bus: 1));
}
