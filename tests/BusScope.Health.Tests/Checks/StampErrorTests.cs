using BusScope.Frames;
using BusScope.Signals.Loading;
using BusScope.Signals.Plans;
using BusScope.TestKit;
using Xunit;

namespace BusScope.Health.Tests.Checks;

/// <summary>Recordings whose times are not those of their frames, or whose rows are not those that came, and what stays a fault in them.</summary>
public sealed class StampErrorTests
{
    private const int Messages = 10;

    private static readonly string definitions = "busscope: 1\nmodules: { dash: {}, engine: {}, brakes: {} }\nmessages:\n"
        + string.Concat(Enumerable.Range(0, Messages).Select(i =>
            $"  M{i}: {{ id: 0x10{i}, from: {(i % 2 == 0 ? "engine" : "brakes")}, needed-by: [dash], every: {Every(i)} ms, counter: {{ byte: 0, bits: 0..3 }} }}\n"));

    [Fact]
    public void Times_in_coarse_steps_are_one_warning_and_accuse_no_message()
    {
        var report = Check(Healthy().Select(frame => At(frame, InSteps(frame))));

        AssertTold(report, "times-in-steps", "the times of the recording of bus body come in steps of 64 ms: ");
        Assert.Contains(" messages are uneven (M0, ", report.Findings[0].Text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_message_that_comes_half_as_often_or_stops_is_a_fault_in_coarse_steps_as_well()
    {
        var report = Check(Healthy()
            .Where(frame => frame.Id.Value != 0x103 || (frame.Data[0] & 1) == 0)
            .Where(frame => frame.Id.Value != 0x104 || frame.Time.Seconds < 6)
            .Select(frame => At(frame, InSteps(frame))));

        Assert.Equal(Verdict.NoGo, report.Verdict);
        Assert.Equal(
            [("message-too-slow", "M3"), ("message-stopped", "M4")],
            report.Findings.Where(finding => finding is { Severity: FindingSeverity.Fault, Code: not "counter-skipped" }).Select(finding => (finding.Code, finding.Message!)).OrderBy(finding => finding.Item2, StringComparer.Ordinal));
    }

    [Fact]
    public void A_recorder_that_stood_still_is_one_warning_and_accuses_neither_bus_nor_message()
    {
        var report = Check(Healthy().Select(frame => At(frame, AfterStall(frame))));

        AssertTold(report, "recorder-stalled", "the recorder of bus body stood still 3 times, for up to ");
        Assert.Equal(3, report.Findings[0].Count);
    }

    [Fact]
    public void A_pause_after_which_nothing_is_made_up_for_is_one_of_the_bus()
    {
        var report = Check(Healthy().Select(frame => At(frame, frame.Time.Seconds + (frame.Time.Seconds >= 4 ? 0.6 : 0))));

        Assert.Equal(Verdict.NoGo, report.Verdict);
        Assert.Equal("bus-silent", Assert.Single(report.Findings, finding => finding.Severity != FindingSeverity.Note).Code);
    }

    [Fact]
    public void Rows_out_of_order_are_one_warning_and_no_hole_and_accuse_no_message()
    {
        var rows = Healthy();

        var report = Check([.. rows[..1000], .. rows[1100..1200], .. rows[1000..1100], .. rows[1200..]]);

        AssertTold(report, "rows-out-of-order", "the rows of the recording of bus body are not in order of time: they step back once, by ");
    }

    [Fact]
    public void Neighbours_in_the_wrong_order_are_nothing()
    {
        var rows = Healthy();
        for (var i = 100; i < rows.Length; i += 100)
        {
            (rows[i - 1], rows[i]) = (rows[i], rows[i - 1]);
        }

        Assert.Equal(Verdict.Go, Check(rows).Verdict);
    }

    [Fact]
    public void Single_rows_that_stand_there_twice_are_one_warning_and_accuse_no_message()
    {
        var report = Check(Healthy().SelectMany((frame, row) => row % 13 == 0 ? [frame, frame] : new[] { frame }));

        AssertTold(report, "rows-doubled", "the recording of bus body holds single frames twice, ");
    }

    [Fact]
    public void A_counter_that_stands_still_more_often_than_rows_are_there_twice_is_a_fault()
    {
        var report = Check(Healthy()
            .Select(frame => frame.Id.Value == 0x102 && frame.Time.Seconds > 5 ? Some.Frame(0x102, "0000", frame.Time.Seconds * 1000) : frame)
            .SelectMany((frame, row) => row % 13 == 0 ? [frame, frame] : new[] { frame }));

        Assert.Equal("M2", Assert.Single(report.Findings, finding => finding.Severity == FindingSeverity.Fault).Message);
    }

    private static void AssertTold(HealthReport report, string code, string text)
    {
        var finding = Assert.Single(report.Findings, finding => finding.Severity != FindingSeverity.Note);
        Assert.Equal((Verdict.Inconclusive, code, FindingSeverity.Warning, "body"), (report.Verdict, finding.Code, finding.Severity, finding.Bus));
        Assert.StartsWith(text, finding.Text, StringComparison.Ordinal);
    }

    private static int Every(int message) => 20 + (10 * (message % 4));

    private static double InSteps(Frame frame) => Math.Floor(frame.Time.Seconds / 0.064) * 0.064;

    // From 2, 4 and 6 s on for 600 ms each.
    private static double AfterStall(Frame frame) =>
        frame.Time.Seconds is var at && (int)at is 2 or 4 or 6 && at - (int)at < 0.6 ? (int)at + 0.6 : at;

    private static Frame At(Frame frame, double seconds) => Some.Frame(frame.Id.Value, Convert.ToHexString(frame.Data), seconds * 1000);

    private static Frame[] Healthy() =>
    [
        .. Enumerable.Range(0, Messages).SelectMany(message => Enumerable.Range(0, 10_000 / Every(message))
            .Select(count => Some.Frame((uint)(0x100 + message), $"{count % 16:X2}00", (count * Every(message)) + message))).OrderBy(frame => frame.Time),
    ];

    private static HealthReport Check(IEnumerable<Frame> frames)
    {
        var monitor = new HealthMonitor(new DefinitionPlan(DefinitionLoader.LoadText(definitions, "car.yaml").Definitions!), new MonitorOptions());
        foreach (var batch in Some.Batches(frames))
        {
            monitor.Accept(batch, [new Bus("body")]);
        }

        return monitor.Report(isFinal: true);
    }
}
