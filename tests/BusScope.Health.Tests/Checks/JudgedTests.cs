using BusScope.Frames;
using BusScope.TestKit;
using Xunit;

namespace BusScope.Health.Tests.Checks;

/// <summary>A verdict says how much it rests on, and what of the definitions decided nothing.</summary>
public class JudgedTests
{
    private const string Head = "busscope: 1\nbuses: { chassis: {}, cabin: {} }\n";

    // 0x1A0 comes in the healthy car, 0x555 and 0x556 never do.
    [Theory]
    [InlineData("A: { id: 0x1A0, bus: chassis, every: 20 ms }", 1, 1, 0, 0)]
    [InlineData("A: { id: 0x1A0, bus: chassis, every: 20 ms, signals: { Gear: { byte: 0 } } }", 1, 1, 0, 0)]
    [InlineData("A: { id: 0x1A0, bus: chassis, every: 20 ms, signals: { Gear: { byte: 0, range: 0..8 } } }", 1, 1, 1, 0)]
    [InlineData("A: { id: 0x1A0, bus: chassis, on-change: true, signals: { Gear: { byte: 0, range: 0..8 } } }", 1, 0, 1, 0)]
    [InlineData("A: { id: 0x1A0, bus: chassis, every: 20 ms }, B: { id: 0x555, bus: chassis, on-change: true, signals: { Gear: { byte: 0, range: 0..8 } } }", 2, 1, 0, 1)]
    public void What_was_judged_is_counted_by_time_and_by_content(string messages, int defined, int byTime, int byContent, int byNeither) =>
        Assert.Equal(new JudgedMessages(defined, byTime, byContent, byNeither), Car.Healthy().Check($"{Head}messages: {{ {messages} }}").Judged);

    [Fact]
    public void Messages_that_nothing_awaits_and_that_never_came_are_one_note()
    {
        var report = Car.Healthy().Check($"{Head}messages: {{ A: {{ id: 0x1A0, bus: chassis, every: 20 ms }}, B: {{ id: 0x555, bus: chassis, on-change: true }}, C: {{ id: 0x556, bus: cabin, length: 2 }} }}");

        var note = Assert.Single(report.Findings, finding => finding.Code == "not-awaited");
        Assert.Equal((FindingSeverity.Note, 2L), (note.Severity, note.Count));
        Assert.EndsWith(": B, C", note.Text, StringComparison.Ordinal);
        Assert.Equal(Verdict.Go, report.Verdict);
    }

    [Fact]
    public void Sequences_and_relays_are_noted_as_not_judged_yet()
    {
        const string definitions = Head + """
            messages:
              A: { id: 0x1A0, bus: chassis, every: 20 ms, signals: { Gear: { byte: 0 }, Other: { byte: 1 } } }
            sequences: { start: { begins: Gear == 1, steps: [{ expect: Gear == 2, within: 1 s }] } }
            relays: { gear: { from: A/Gear, to: A/Other } }
            """;

        var report = Car.Healthy().Check(definitions);

        Assert.Equal(
            ["the sequence start is read but not judged by this version", "the relay gear is read but not judged by this version"],
            report.Findings.Where(finding => finding is { Code: "not-evaluated", Severity: FindingSeverity.Note }).Select(finding => finding.Text));
        Assert.Equal(Verdict.Go, report.Verdict);
    }

    [Theory]
    [InlineData(1, 1, 1)]
    [InlineData(1, 0, 0)]
    [InlineData(5, 1, 0)]
    public void One_frame_over_and_over_beside_error_reports_is_not_acknowledged(int every, int errors, int found)
    {
        var frames = new List<Frame>();
        for (var i = 0; i < errors; i++)
        {
            frames.Add(Some.Frame(0x004, "0000000000000000", i * 0.1, kinds: FrameKinds.ErrorReport));
        }

        for (var i = 0; i < 1000; i++)
        {
            frames.Add(Some.Frame(0x300, "0102030405060708", 1 + (i * every)));
        }

        var monitor = Car.Monitor("busscope: 1\nmessages: { Engine: { id: 0x300, every: 10 ms } }");
        monitor.Accept([.. frames], [new Bus("race")]);

        var report = monitor.Report(isFinal: true);

        var told = report.Findings.Where(finding => finding.Code == "bus-unacknowledged").ToList();
        Assert.Equal(found, told.Count);
        Assert.All(told, finding => Assert.StartsWith("nobody acknowledges on bus race: Engine comes over and over, every 1 ms, in 1000 of 1000 frames", finding.Text, StringComparison.Ordinal));
    }

    [Fact]
    public void What_does_not_come_where_nobody_acknowledges_is_told_with_that_and_is_one_fault()
    {
        var frames = Enumerable.Range(0, 3_000).Select(i => Some.Frame(0x300, "00", 1 + i)).Prepend(Some.Frame(0x004, "0000000000000000", kinds: FrameKinds.ErrorReport));
        var monitor = Car.Monitor("busscope: 1\nmessages: { Engine: { id: 0x300, every: 10 ms }, Brake: { id: 0x301, every: 10 ms } }");
        monitor.Accept([.. frames], [new Bus("race")]);

        var report = monitor.Report(isFinal: true);

        var told = Assert.Single(report.Findings, finding => finding.Severity != FindingSeverity.Note);
        Assert.Equal((Verdict.NoGo, "bus-unacknowledged", FindingSeverity.Fault), (report.Verdict, told.Code, told.Severity));
        Assert.EndsWith(". Therefore 1 message does not come (Brake)", told.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void What_leaves_a_message_without_a_judgement_is_told_before_a_warning_that_changes_no_verdict()
    {
        var frames = Enumerable.Range(0, 1_000).SelectMany(i => new[]
        {
            Some.Frame(0x300, $"{(i < 500 ? i % 7 : 3):X2}", i * 10),
            Some.Frame(0x301, $"{(i < 100 ? i : i + 5) % 16:X2}", (i * 10) + 1),
        });
        var monitor = Car.Monitor("busscope: 1\nmessages: { Rests: { id: 0x300, length: 1, every: 10 ms, lives: FF }, Jumps: { id: 0x301, every: 10 ms, counter: { byte: 0, bits: 0..3 } } }");
        monitor.Accept([.. frames], [new Bus("race")]);

        var report = monitor.Report(isFinal: true);

        Assert.Equal(Verdict.Inconclusive, report.Verdict);
        Assert.Equal(["payload-stuck", "counter-skipped"], report.Findings.Where(finding => finding.Severity == FindingSeverity.Warning).Select(finding => finding.Code));
    }
}
