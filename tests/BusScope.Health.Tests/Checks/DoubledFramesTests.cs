using BusScope.Frames;
using BusScope.Signals.Loading;
using BusScope.Signals.Plans;
using BusScope.TestKit;
using Xunit;

namespace BusScope.Health.Tests.Checks;

/// <summary>A recording that holds every frame twice, and what only looks like that.</summary>
public sealed class DoubledFramesTests
{
    private const int Messages = 10;

    // The last one comes when it likes.
    private const int Periodic = 9;

    private static readonly string definitions = "busscope: 1\nmodules: { dash: {}, engine: {}, brakes: {} }\nmessages:\n"
        + string.Concat(Enumerable.Range(0, Messages).Select(i =>
            $"  M{i}: {{ id: 0x10{i}, from: {(i % 2 == 0 ? "engine" : "brakes")}, needed-by: [dash], {(i < Periodic ? $"every: {Every(i)} ms" : "on-change: true")}, counter: {{ byte: 0, bits: 0..3 }} }}\n"));

    [Fact]
    public void Every_frame_twice_is_one_warning_of_the_recording_and_accuses_no_message()
    {
        var report = Check((frame, _) => [frame, Later(frame, 0.12)]);

        Assert.Equal(Verdict.Inconclusive, report.Verdict);
        var finding = Assert.Single(report.Findings, finding => finding.Severity != FindingSeverity.Note);
        Assert.Equal(("recording-doubled", FindingSeverity.Warning, "body", (long)Periodic), (finding.Code, finding.Severity, finding.Bus, finding.Count));
        Assert.StartsWith("the recording of bus body holds every frame twice, 120 µs apart, in 9 messages of whatever sender: ", finding.Text, StringComparison.Ordinal);
        Assert.EndsWith(". Because of it 9 messages are too frequent (M0, M1, M2, M3, M4, M5, M6, M7, …), 1 message is seen with repeated counters (M9)", finding.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Second_senders_that_each_have_a_moment_of_their_own_are_told_one_by_one()
    {
        var report = Check((frame, message) => [frame, Later(frame, Every(message) * (0.03 + (0.04 * message)))]);

        Assert.Equal(Verdict.NoGo, report.Verdict);
        Assert.DoesNotContain(report.Findings, finding => finding.Code == "recording-doubled");
        Assert.InRange(report.Findings.Count(finding => finding.Code == "two-senders"), 6, Periodic);
    }

    [Fact]
    public void A_second_sender_of_one_modules_messages_is_its_own_fault()
    {
        var report = Check((frame, message) => message % 2 == 0 ? [frame, Later(frame, 0.12)] : [frame]);

        Assert.Equal(Verdict.NoGo, report.Verdict);
        Assert.DoesNotContain(report.Findings, finding => finding.Code == "recording-doubled");
    }

    [Fact]
    public void A_counter_that_stands_still_for_good_is_told_in_a_recording_that_holds_every_frame_twice()
    {
        var report = Check((frame, message) => message == 9 ? [Still(frame), Later(Still(frame), 0.12)] : [frame, Later(frame, 0.12)]);

        Assert.Equal("M9", Assert.Single(report.Findings, finding => finding.Code == "counter-repeated").Message);
    }

    private static int Every(int message) => 20 + (10 * (message % 4));

    private static Frame Later(Frame frame, double milliseconds) => Some.Frame(frame.Id.Value, Convert.ToHexString(frame.Data), (frame.Time.Seconds * 1000) + milliseconds);

    private static Frame Still(Frame frame) => Some.Frame(frame.Id.Value, "0000", frame.Time.Seconds * 1000);

    private static HealthReport Check(Func<Frame, int, Frame[]> recorded)
    {
        var frames = Enumerable.Range(0, Messages).SelectMany(message => Enumerable.Range(0, 10_000 / Every(message))
            .SelectMany(count => recorded(Some.Frame((uint)(0x100 + message), $"{count % 16:X2}00", (count * Every(message)) + message), message)));
        var monitor = new HealthMonitor(new DefinitionPlan(DefinitionLoader.LoadText(definitions, "car.yaml").Definitions!), new MonitorOptions());
        foreach (var batch in Some.Batches(frames.OrderBy(frame => frame.Time)))
        {
            monitor.Accept(batch, [new Bus("body")]);
        }

        return monitor.Report(isFinal: true);
    }
}
