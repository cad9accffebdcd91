using BusScope.Frames;
using BusScope.Session;
using BusScope.TestKit;
using Xunit;

namespace BusScope.Health.Tests.Checks;

/// <summary>Several recordings as one session: each tells of the time that it holds, and of no other.</summary>
public sealed class SeveralRecordingsTests
{
    private const uint Radio = 0x400;

    [Fact]
    public void A_recording_that_ended_before_the_others_is_no_silent_bus()
    {
        var report = Check(Car.Healthy(), cabin: at => at < 6);

        Assert.Equal(Verdict.Inconclusive, report.Verdict);
        var (ended, condition) = (Single(report, "recording-short"), Single(report, "not-judged"));
        Assert.StartsWith("the recording of bus cabin ends 4.09 s before the last one, at 5.9 s: ", ended.Text, StringComparison.Ordinal);
        Assert.EndsWith(", or check with --for 5s", ended.Text, StringComparison.Ordinal);
        Assert.StartsWith("Position >= 2 is last known at 5.9 s: Key, which tells it, is on bus cabin, of which the recording ends then. ", condition.Text, StringComparison.Ordinal);
        AccusesNobody(report);
        Assert.All(report.Messages.Where(message => message.Bus == "cabin"), message => Assert.Equal(MessageState.Fresh, message.State));
        Assert.All(report.Buses, bus => Assert.False(bus.IsSilent));
    }

    [Fact]
    public void A_recording_that_began_after_the_others_is_no_silent_bus()
    {
        var report = Check(Car.Healthy(), cabin: at => at >= 2.5);

        Assert.Equal(Verdict.Inconclusive, report.Verdict);
        Assert.Equal("the recording of bus cabin begins 2.5 s after the first one: whether it was silent meanwhile, or nobody recorded, it does not tell. Judged is what it holds; record all buses over the same time", Single(report, "recording-short").Text);
        AccusesNobody(report);
    }

    [Fact]
    public void Recordings_that_begin_and_end_some_moments_apart_are_judged_as_one()
    {
        var report = Check(Car.Healthy(), cabin: at => at is >= 0.9 and < 9.8);

        Assert.Equal(Verdict.Go, report.Verdict);
        Assert.All(report.Findings, finding => Assert.Equal(FindingSeverity.Note, finding.Severity));
    }

    [Fact]
    public void What_had_stopped_before_its_recording_ended_has_stopped()
    {
        var report = Check(Car.Healthy().Without(Radio, from: 4), cabin: at => at < 6);

        Assert.Equal("Radio stopped at 3.9 s: nothing for 2 s, stale after 500 ms", Single(report, "message-stopped").Text);
    }

    [Fact]
    public void What_never_came_in_its_recording_is_missing_for_as_long_as_that_is()
    {
        var report = Check(Car.Healthy().Without(Radio), cabin: at => at is >= 2 and < 6);

        Assert.Equal("Radio never came: awaited for 3.9 s", Single(report, "message-missing").Text);
    }

    [Fact]
    public void What_came_long_after_its_recording_began_is_late()
    {
        var report = Check(Car.Healthy().Without(Radio, until: 5), cabin: at => at >= 2.5);

        Assert.Equal("Radio came late: first 2.5 s after it was due at 2.5 s, awaited for 1 s", Single(report, "message-stale").Text);
    }

    [Fact]
    public void A_condition_that_is_told_after_a_recording_ended_asks_nothing_of_it()
    {
        var report = Check(Car.Healthy().Change(0x100, (frame, _, at) => at is < 6 or > 8 ? Some.Frame(0x100, "00", frame.Time.Seconds * 1000, 1) : frame), cabin: at => at >= 0, chassis: at => at < 5);

        Assert.Equal(Verdict.Inconclusive, report.Verdict);
        AccusesNobody(report);
    }

    [Fact]
    public void A_bus_that_fell_silent_while_another_of_the_same_recording_went_on_is_silent()
    {
        using var merged = new MergedSource([new ListSource(Car.Buses, [.. Car.Healthy().Without((frame, at) => frame.Bus == 1 && at >= 6).Frames.OrderBy(frame => frame.Time)])]);

        Assert.Contains(Check(merged).Findings, finding => finding is { Code: "bus-silent", Bus: "cabin" });
    }

    [Fact]
    public void Recordings_that_do_not_overlap_are_told_once_and_accuse_nobody()
    {
        var (car, late) = (Car.Healthy(), FrameSpan.FromSeconds(1000));
        var cabin = Of(car, 1, _ => true).Select(frame => Some.Frame(frame.Id.Value, Convert.ToHexString(frame.Data), (frame.Time + late).Seconds * 1000));
        using var merged = new MergedSource([new ListSource([new Bus("chassis")], Of(car, 0, _ => true)), new ListSource([new Bus("cabin")], [.. cabin])]);

        var report = Check(merged);

        Assert.Equal(Verdict.Inconclusive, report.Verdict);
        Assert.StartsWith("the recordings do not overlap in time: bus chassis from 0 s to 9.99 s, bus cabin from 1000 s to 1009.9 s. ", Single(report, "recording-short").Text, StringComparison.Ordinal);
        AccusesNobody(report);
    }

    private static Finding Single(HealthReport report, string code) => report.Findings.Single(finding => finding.Code == code);

    private static void AccusesNobody(HealthReport report) =>
        Assert.All(report.Findings.Where(finding => finding.Code != "recording-short"), finding => Assert.Equal(FindingSeverity.Note, finding.Severity));

    private static HealthReport Check(Car car, Func<double, bool> cabin, Func<double, bool>? chassis = null)
    {
        using var merged = new MergedSource([new ListSource([new Bus("chassis")], Of(car, 0, chassis ?? (_ => true))), new ListSource([new Bus("cabin")], Of(car, 1, cabin))]);
        return Check(merged);
    }

    private static HealthReport Check(MergedSource source) => SessionRun.ToEnd(source, Car.Monitor(), null, TestContext.Current.CancellationToken).Health;

    private static Frame[] Of(Car car, int bus, Func<double, bool> isRecorded) =>
        [.. car.Frames.Where(frame => frame.Bus == bus && isRecorded(frame.Time.Seconds)).OrderBy(frame => frame.Time).Select(frame => Some.Frame(frame.Id.Value, Convert.ToHexString(frame.Data), frame.Time.Seconds * 1000))];
}
