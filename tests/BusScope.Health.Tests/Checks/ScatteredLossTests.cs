using BusScope.Frames;
using BusScope.Signals.Loading;
using BusScope.Signals.Plans;
using BusScope.TestKit;
using Xunit;

namespace BusScope.Health.Tests.Checks;

/// <summary>Frames that the recorder lost here and there, and what only looks like that.</summary>
public sealed class ScatteredLossTests
{
    // Four counters of two senders; the last one is sent when something changes.
    private const string Definitions = """
        busscope: 1
        modules: { dash: {}, engine: {}, brakes: {} }
        messages:
          Speed: { id: 0x100, from: engine, needed-by: [dash], every: 10 ms, stale-after: 1 s, counter: { byte: 0, bits: 0..3 } }
          Torque: { id: 0x101, from: engine, needed-by: [dash], every: 20 ms, stale-after: 1 s, counter: { byte: 0, bits: 0..3 } }
          Wheels: { id: 0x200, from: brakes, needed-by: [dash], every: 20 ms, stale-after: 1 s, counter: { byte: 0 } }
          Yaw: { id: 0x201, from: brakes, needed-by: [dash], every: 50 ms, stale-after: 1 s, counter: { byte: 0, bits: 0..3 } }
          Change: { id: 0x300, from: brakes, needed-by: [dash], on-change: true, counter: { byte: 0, bits: 4..7 } }
        """;

    private static readonly (uint Id, int Every, Func<int, int> Byte)[] senders =
    [
        (0x100, 10, count => count % 16),
        (0x101, 20, count => count % 16),
        (0x200, 20, count => count % 256),
        (0x201, 50, count => count % 16),
        (0x300, 40, count => count % 16 << 4),
    ];

    [Fact]
    public void Frames_missing_in_the_recording_at_random_are_one_warning_and_no_fault_of_the_car()
    {
        var dice = new Random(1);

        var report = Check(frame => dice.Next(20) > 0);

        Assert.Equal(Verdict.Inconclusive, report.Verdict);
        var lost = Assert.Single(report.Findings, finding => finding.Code is "recorder-lost-frames" or "counter-skipped");
        Assert.Equal(("recorder-lost-frames", FindingSeverity.Warning, "body"), (lost.Code, lost.Severity, lost.Bus));
        Assert.InRange(lost.Count, 120, 240);
        Assert.Null(report.Interruption);
    }

    [Fact]
    public void What_is_late_by_missing_frames_is_told_with_them_and_not_of_each_message()
    {
        var dice = new Random(1);

        var report = Check(frame => dice.Next(20) > 0);

        Assert.EndsWith(". Record again. Because of it 4 messages are late (Speed, Torque, Wheels, Yaw)", Only(report).Text, StringComparison.Ordinal);
        Assert.Equal(["dash"], Only(report).Modules);
    }

    [Fact]
    public void A_message_that_is_stale_by_a_hole_among_others_is_not_at_fault()
    {
        // The hole is 130 ms long on the bus, and 140 ms for the message.
        var report = Check(frame => frame.Time.Seconds % 1 > 0.12, definitions: Definitions.Replace("id: 0x101, from: engine, needed-by: [dash], every: 20 ms, stale-after: 1 s", "id: 0x101, from: engine, needed-by: [dash], every: 20 ms, stale-after: 135 ms", StringComparison.Ordinal));

        Assert.Equal(Verdict.Inconclusive, report.Verdict);
        Assert.Contains("1 message is stale for a while (Torque)", Only(report).Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Many_that_are_stale_together_by_one_hole_among_others_are_not_at_fault()
    {
        var report = Check(
            frame => frame.Time.Seconds % 1 > (frame.Time.Seconds is >= 5 and < 6 ? 0.12 : 0.06),
            definitions: Definitions + string.Concat(Enumerable.Range(0, 9).Select(i => $"\n  Many{i}: {{ id: {0x500 + i}, needed-by: [dash], every: 20 ms, stale-after: 135 ms }}")),
            more: Enumerable.Range(0, 9).SelectMany(i => Enumerable.Range(0, 1000).Select(count => Some.Frame(0x500 + (uint)i, "00", count * 20))));

        Assert.Equal(Verdict.Inconclusive, report.Verdict);
        Assert.Contains("9 messages are stale for a while (Many0, ", Only(report).Text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_message_that_should_have_come_at_every_hole_alone_is_not_said_to_be_missing()
    {
        var report = Check(frame => frame.Time.Seconds % 1 > 0.06 && frame.Id.Value != 0x400, definitions: Definitions + "\n  Clock: { id: 0x400, needed-by: [dash], every: 2 s }");

        Assert.Equal(Verdict.Inconclusive, report.Verdict);
        Assert.EndsWith(", 1 message is missing (Clock)", Only(report).Text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_message_that_should_have_come_at_every_hole_since_some_moment_is_not_said_to_have_stopped()
    {
        var report = Check(
            frame => frame.Time.Seconds % 1 > 0.06 || (frame.Id.Value == 0x400 && frame.Time.Seconds < 3),
            definitions: Definitions + "\n  Clock: { id: 0x400, needed-by: [dash], every: 1 s }",
            more: Enumerable.Range(0, 20).Select(second => Some.Frame(0x400, "00", (second * 1000) + 30)));

        Assert.Equal(Verdict.Inconclusive, report.Verdict);
        Assert.EndsWith(", 1 message is stale at the end (Clock)", Only(report).Text, StringComparison.Ordinal);
    }

    [Fact]
    public void What_stopped_or_never_came_for_longer_than_missing_frames_make_of_it_is_a_fault()
    {
        var dice = new Random(1);

        var report = Check(frame => dice.Next(20) > 0 && (frame.Id.Value != 0x201 || frame.Time.Seconds < 15), definitions: Definitions + "\n  Lights: { id: 0x400, needed-by: [dash], every: 50 ms }");

        Assert.Equal(Verdict.NoGo, report.Verdict);
        Assert.Equal(["Lights", "Yaw"], report.Findings.Where(finding => finding.Severity == FindingSeverity.Fault).Select(finding => finding.Message).Order());
    }

    [Fact]
    public void Short_holes_in_the_recording_are_one_warning_and_no_fault_of_the_car()
    {
        var report = Check(frame => frame.Time.Seconds % 1 > 0.06);

        Assert.Equal(Verdict.Inconclusive, report.Verdict);
        Assert.Single(report.Findings, finding => finding.Code is "recorder-lost-frames" or "counter-skipped");
    }

    [Fact]
    public void What_one_message_leaves_out_is_its_own_fault_though_its_counter_fits_the_gaps()
    {
        var dice = new Random(1);

        var report = Check(frame => frame.Id.Value != 0x100 || dice.Next(10) > 0);

        Assert.Equal(Verdict.NoGo, report.Verdict);
        Assert.Equal("Speed", Assert.Single(report.Findings, finding => finding.Code is "recorder-lost-frames" or "counter-skipped").Message);
    }

    [Fact]
    public void What_one_module_leaves_out_is_its_own_fault_though_its_counters_fit_the_gaps()
    {
        var dice = new Random(1);

        var report = Check(frame => frame.Id.Value >= 0x200 || dice.Next(10) > 0);

        Assert.Equal(Verdict.NoGo, report.Verdict);
        Assert.Equal(["Speed", "Torque"], report.Findings.Where(finding => finding.Code is "recorder-lost-frames" or "counter-skipped").Select(finding => finding.Message).Order());
    }

    [Fact]
    public void A_counter_that_jumps_without_a_gap_is_at_fault_in_a_recording_with_missing_frames_as_well()
    {
        var dice = new Random(1);

        var report = Check(frame => dice.Next(20) > 0, (id, count) => id == 0x200 && count % 10 == 9 ? count + 3 : count);

        Assert.Equal(Verdict.NoGo, report.Verdict);
        Assert.Equal("Wheels", Assert.Single(report.Findings, finding => finding.Severity == FindingSeverity.Fault).Message);
    }

    private static Finding Only(HealthReport report) => Assert.Single(report.Findings, finding => finding.Severity != FindingSeverity.Note);

    private static HealthReport Check(Func<Frame, bool> isSeen, Func<uint, int, int>? count = null, string definitions = Definitions, IEnumerable<Frame>? more = null)
    {
        var frames = new List<Frame>(more ?? []);
        foreach (var (id, every, first) in senders)
        {
            for (var i = 0; i * every < 20_000; i++)
            {
                frames.Add(Some.Frame(id, $"{first(count?.Invoke(id, i) ?? i):X2}00", (i * every) + (id % 7 * 0.1)));
            }
        }

        var monitor = new HealthMonitor(new DefinitionPlan(DefinitionLoader.LoadText(definitions, "car.yaml").Definitions!), new MonitorOptions());
        foreach (var batch in Some.Batches([.. frames.OrderBy(frame => frame.Time).Where(frame => isSeen(frame))]))
        {
            monitor.Accept(batch, [new Bus("body")]);
        }

        return monitor.Report(isFinal: true);
    }
}
