using System.Text;
using System.Text.Json;
using BusScope.Health;
using BusScope.Reports;
using BusScope.Reports.Checks;
using BusScope.Reports.Layout;
using BusScope.Reports.Summaries;
using BusScope.Signals.Definitions;
using BusScope.TestKit;
using Xunit;

namespace BusScope.App.Tests.Reports;

public class ReportTests
{
    [Fact]
    public void A_check_as_text() => Snapshot.Match(Text(output => CheckText.Write(output, SomeReport.Subject, SomeReport.Starved, Ink.Plain)));

    [Fact]
    public void A_check_as_json() => Snapshot.Match(Bytes(output => CheckJson.Write(output, SomeReport.Subject, SomeReport.Starved)));

    [Fact]
    public void A_summary_as_text() => Snapshot.Match(Text(output => SummaryText.Write(output, SomeReport.Subject, SomeReport.Capture, Ink.Plain)));

    [Fact]
    public void A_summary_as_json() => Snapshot.Match(Bytes(output => SummaryJson.Write(output, SomeReport.Subject, SomeReport.Capture)));

    [Fact]
    public void A_check_of_nothing_says_so()
    {
        var text = Text(output => CheckText.Write(output, new RunSubject("empty.pcapng"), new HealthReport(Verdict.Inconclusive), Ink.Plain));

        Assert.StartsWith("INCONCLUSIVE\nNot one frame was received", text);
    }

    [Fact]
    public void The_module_that_the_verdict_is_made_of_comes_first_and_a_whole_bus_before_its_messages()
    {
        Finding Of(FindingSeverity severity, string text, params string[] modules) => new("any", severity, text) { Message = "M", Modules = modules };
        ModuleHealth Module(string name) => new(new ModuleDefinition { Name = name }, Verdict.NoGo) { States = new int[6] };
        var report = SomeReport.Starved with
        {
            Modules = [Module("late"), Module("starved"), Module("cut"), Module("both")],
            Findings = [Of(FindingSeverity.Fault, "the bus is gone", "cut") with { Message = null, Bus = "x" }, Of(FindingSeverity.Fault, "it stopped", "starved", "both"), Of(FindingSeverity.Warning, "it was late", "late", "both")],
        };

        var text = Text(output => CheckText.Write(output, SomeReport.Subject, report, Ink.Plain));

        Assert.Contains("cut\n  fault    the bus is gone\n\nstarved\n  fault    it stopped\n\nboth\n  as above: M\n  warning  it was late\n\nlate\n  as above: M\n", text.ReplaceLineEndings("\n"), StringComparison.Ordinal);
    }

    [Fact]
    public void Of_modules_with_warnings_one_without_a_verdict_comes_before_those_that_go()
    {
        var report = SomeReport.Starved with
        {
            Verdict = Verdict.Inconclusive,
            Modules = [.. new[] { Verdict.Go, Verdict.Inconclusive }.Select(verdict => new ModuleHealth(new ModuleDefinition { Name = $"{verdict}" }, verdict) { States = new int[6] })],
            Findings = [.. new[] { Verdict.Go, Verdict.Inconclusive }.Select(verdict => new Finding("any", FindingSeverity.Warning, $"found in {verdict}") { Modules = [$"{verdict}"] })],
        };

        Assert.Contains("\nInconclusive\n  warning  found in Inconclusive\n\nGo\n  warning  found in Go\n", Text(output => CheckText.Write(output, SomeReport.Subject, report, Ink.Plain)).ReplaceLineEndings("\n"), StringComparison.Ordinal);
    }

    [Fact]
    public void No_line_is_wider_than_a_terminal()
    {
        var text = Text(output => CheckText.Write(output, SomeReport.Subject, SomeReport.Starved, Ink.Plain))
            + Text(output => SummaryText.Write(output, SomeReport.Subject, SomeReport.Capture, Ink.Plain));

        Assert.All(text.Split('\n'), line => Assert.InRange(line.Length, 0, 80));
    }

    [Fact]
    public void Text_from_outside_cannot_command_the_terminal()
    {
        var text = Text(output => SummaryText.Write(output, SomeReport.Subject, SomeReport.Capture, Ink.Plain));

        Assert.DoesNotContain('\u001B', text);
        Assert.Contains(@"cabin\u001B[2J", text);
    }

    [Fact]
    public void Colour_changes_no_word()
    {
        var plain = Text(output => CheckText.Write(output, SomeReport.Subject, SomeReport.Starved, Ink.Plain));
        var inked = Text(output => CheckText.Write(output, SomeReport.Subject, SomeReport.Starved, new Ink(inColour: true)));

        Assert.Contains("\u001B[1;31mNO-GO\u001B[0m", inked);
        Assert.Equal(plain, System.Text.RegularExpressions.Regex.Replace(inked, "\u001B\\[[0-9;]*m", ""));
    }

    // The fields that the contract promises at least: docs/command-line.md.
    [Theory]
    [InlineData("", "verdict modules messages findings")]
    [InlineData("modules", "name verdict fresh late stale missing")]
    [InlineData("messages", "bus id name state frames expected_ms median_ms longest_gap_ms counter checksum wrong_length senders")]
    [InlineData("messages/counter", "repeated skipped")]
    [InlineData("findings", "code severity bus message signal at_s count text")]
    public void The_json_of_a_check_keeps_its_contract(string path, string fields) =>
        Fields(Bytes(output => CheckJson.Write(output, SomeReport.Subject, SomeReport.Starved)), path, fields);

    [Theory]
    [InlineData("", "frames duration_s buses ids problems")]
    [InlineData("buses", "name frames ids error_frames load_mean_pct load_peak_pct")]
    [InlineData("ids", "bus id extended frames length period_ms first_s last_s")]
    [InlineData("ids/period_ms", "median p05 p95 max")]
    [InlineData("problems", "code count first")]
    public void The_json_of_a_summary_keeps_its_contract(string path, string fields) =>
        Fields(Bytes(output => SummaryJson.Write(output, SomeReport.Subject, SomeReport.Capture)), path, fields);

    private static void Fields(string json, string path, string fields)
    {
        using var document = JsonDocument.Parse(json);
        var at = document.RootElement;
        foreach (var step in path.Split('/', StringSplitOptions.RemoveEmptyEntries))
        {
            at = at.GetProperty(step);
            at = at.ValueKind == JsonValueKind.Array ? at[0] : at;
        }

        Assert.Empty(fields.Split(' ').Except(at.EnumerateObject().Select(field => field.Name)));
    }

    private static string Text(Action<TextWriter> write)
    {
        var output = new StringWriter { NewLine = "\n" };
        write(output);
        return output.ToString();
    }

    private static string Bytes(Action<Stream> write)
    {
        var output = new MemoryStream();
        write(output);
        return Encoding.UTF8.GetString(output.ToArray());
    }
}
