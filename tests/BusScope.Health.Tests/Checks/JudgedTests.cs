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
}
