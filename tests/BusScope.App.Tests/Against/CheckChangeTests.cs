using System.Text;
using System.Text.Json;
using BusScope.App.Tests.Reports;
using BusScope.Frames;
using BusScope.Health;
using BusScope.Reports.Against;
using BusScope.Reports.Checks;
using BusScope.Reports.Layout;
using BusScope.Signals.Definitions;
using BusScope.TestKit;
using Xunit;

namespace BusScope.App.Tests.Against;

/// <summary>What changed between two checks; the earlier one is read back from what the program itself wrote.</summary>
public class CheckChangeTests
{
    private static readonly HealthReport Starved = SomeReport.Starved;

    [Fact]
    public void A_result_is_read_back_as_it_was()
    {
        var earlier = Earlier(Starved);

        Assert.Equal(("last.json", Verdict.NoGo, "drive.pcapng"), (earlier.Name, earlier.Verdict, earlier.Source));
        Assert.Equal(Starved.Modules.Select(module => (module.Definition.Name, module.Verdict)), earlier.Modules.Select(module => (module.Name, module.Verdict)));
        Assert.Equal(Starved.Findings.Select(finding => (FindingSubject.Of(finding), finding.Severity, finding.Text)), earlier.Findings.Select(finding => (finding.Subject, finding.Severity, finding.Text)));
    }

    [Fact]
    public void The_same_again_is_no_change()
    {
        var change = CheckChange.Between(Earlier(Starved), Starved);

        Assert.Empty(change.Modules);
        Assert.Empty(change.New);
        Assert.Empty(change.Gone);
        Assert.Equal(Starved.Findings.Count, change.Still.Count);
    }

    [Fact]
    public void What_is_new_gone_and_still_there_is_told_apart()
    {
        var change = CheckChange.Between(Earlier(Starved), Mended());

        Assert.Equal([("climate", Verdict.NoGo, Verdict.Go), ("door-left", Verdict.Go, Verdict.NoGo), ("brakes", null, Verdict.Go), ("steering", Verdict.Inconclusive, null)], change.Modules.Select(module => (module.Name, module.Before, module.Now)));
        Assert.Equal(["message-missing"], change.New.Select(finding => finding.Code));
        Assert.Equal(["message-stale", "unknown-identifier"], change.Gone.Select(finding => finding.Subject.Code));
        var still = Assert.Single(change.Still);
        Assert.Equal(("counter-repeated", FindingSeverity.Warning, FindingSeverity.Fault), (still.Now.Code, still.Before.Severity, still.Now.Severity));
    }

    [Theory]
    [InlineData(600, 60.0, "more often than before (57 times then)")]
    [InlineData(600, 600.0, null)]
    [InlineData(100, 60.0, null)]
    [InlineData(20, 60.0, "less often than before (57 times then)")]
    public void A_fault_that_is_still_there_says_whether_it_comes_twice_as_often_in_its_time(long count, double seconds, string? told)
    {
        var (first, now) = (new FrameTime(0), new FrameTime(0) + FrameSpan.FromSeconds(seconds));
        var before = Starved with { First = first, Now = first + FrameSpan.FromSeconds(60), Findings = [Starved.Findings[0] with { Count = 57 }] };
        var later = before with { Now = now, Findings = [Starved.Findings[0] with { Count = count }] };

        var output = new StringWriter { NewLine = "\n" };
        CheckText.Write(output, SomeReport.Subject, later, Ink.Plain, CheckChange.Between(Earlier(before), later));

        Assert.Contains(told is null ? "still    1 fault and 0 warnings as before\n" : $"still    fault, {told}", output.ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public void When_and_how_often_make_no_new_finding()
    {
        var later = Starved with { Findings = [.. Starved.Findings.Select(finding => finding with { Count = finding.Count + 7, At = null, Text = finding.Text + " again" })] };

        Assert.Empty(CheckChange.Between(Earlier(Starved), later).New);
    }

    [Fact]
    public void The_same_finding_of_two_senders_counts_twice()
    {
        var finding = Starved.Findings[0];
        var two = Starved with { Findings = [finding, finding with { }] };
        var one = Starved with { Findings = [finding] };

        Assert.Single(CheckChange.Between(Earlier(one), two).New);
        Assert.Single(CheckChange.Between(Earlier(two), one).Gone);
    }

    [Fact]
    public void Findings_about_a_module_alone_are_told_apart_by_it()
    {
        static Finding Needs(string module) => new("module-needs-nothing", FindingSeverity.Note, "nothing is known") { Modules = [module] };
        var (engine, climate) = (Starved.Modules[0].Definition.Name, Starved.Modules[1].Definition.Name);
        var change = CheckChange.Between(Earlier(Starved with { Findings = [Needs(engine)] }), Starved with { Findings = [Needs(climate)] });

        Assert.Equal((climate, engine), (Assert.Single(change.New).Modules[0], Assert.Single(change.Gone).Subject.Module));
    }

    [Fact]
    public void What_this_check_did_not_look_for_is_not_gone()
    {
        // The engine's counter is demanded no more, its checksum was found wrong before, and the door's message is not defined.
        var counted = Starved.Messages.First(message => message.Definition?.Counter is not null);
        var fewer = Starved with
        {
            Findings = [],
            Messages = [.. Starved.Messages.Where(message => message.Definition?.Name != "DoorStatus").Select(message => message == counted ? message with { Definition = WithoutCounter(message.Definition!) } : message)],
        };

        var change = CheckChange.Between(Earlier(Starved with { Findings = [Against("counter-repeated", counted.Definition!.Name), Against("message-late", counted.Definition!.Name), Against("message-missing", "DoorStatus")] }), fewer);

        Assert.Equal(["counter-repeated", "message-missing"], change.Unseen.Select(finding => finding.Subject.Code));
        Assert.Equal(["message-late"], change.Gone.Select(finding => finding.Subject.Code));
        Assert.Equal(new DefinitionChange(1, 0, 1), change.Definitions);
    }

    [Fact]
    public void The_same_definitions_are_no_change_of_them_nor_are_those_of_a_result_that_lists_none()
    {
        Assert.Null(CheckChange.Between(Earlier(Starved), Starved).Definitions);
        Assert.Null(CheckChange.Between(new EarlierCheck("last.json", Verdict.Go), Starved).Definitions);
    }

    private static Finding Against(string code, string message) => new(code, FindingSeverity.Fault, code) { Bus = "chassis", Message = message };

    private static MessageDefinition WithoutCounter(MessageDefinition definition) => definition with { Counter = null };

    [Fact]
    public void The_change_as_text()
    {
        var output = new StringWriter { NewLine = "\n" };

        CheckText.Write(output, SomeReport.Subject, Mended(), Ink.Plain, CheckChange.Between(Earlier(Starved), Mended()));

        Snapshot.Match(output.ToString());
    }

    [Fact]
    public void The_change_as_json()
    {
        using var json = JsonDocument.Parse(Json(Mended(), CheckChange.Between(Earlier(Starved), Mended())));

        Snapshot.Match(json.RootElement.GetProperty("against").ToString());
    }

    [Fact]
    public void A_result_that_was_compared_can_be_compared_again() =>
        Assert.Empty(CheckChange.Between(EarlierCheckReader.Read(new MemoryStream(Json(Mended(), CheckChange.Between(Earlier(Starved), Mended()))), "last.json"), Mended()).New);

    [Theory]
    [InlineData("", "it is empty")]
    [InlineData("GO\n", "it is not JSON (line 1, byte 1)")]
    [InlineData("[]", "it has no verdict, modules and findings")]
    [InlineData("{\"frames\":1,\"ids\":[]}", "it is a summary")]
    [InlineData("{\"verdict\":\"maybe\",\"modules\":[],\"findings\":[]}", "a verdict is none of go, no-go and inconclusive")]
    [InlineData("{\"verdict\":\"go\",\"modules\":7,\"findings\":[]}", "its modules are no list of objects")]
    [InlineData("{\"verdict\":\"go\",\"modules\":[{\"verdict\":\"go\"}],\"findings\":[]}", "a module has no name")]
    [InlineData("{\"verdict\":\"go\",\"modules\":[],\"findings\":[{\"code\":\"x\"}]}", "a severity is none of fault, warning and note")]
    [InlineData("{\"verdict\":\"go\",\"modules\":[],\"findings\":[{\"severity\":\"note\"}]}", "a finding has no code")]
    [InlineData("{\"verdict\":\"go\",\"modules\":[],\"findings\":[{\"code\":\"x\",\"severity\":\"note\",\"bus\":7}]}", "'bus' is no text")]
    public void What_is_no_result_is_refused_with_the_reason(string text, string reason)
    {
        var fault = Assert.Throws<FormatException>(() => EarlierCheckReader.Read(new MemoryStream(Encoding.UTF8.GetBytes(text)), "last.json"));

        Assert.Equal($"last.json: is no result of 'check --format json': {reason}", fault.Message);
    }

    [Fact]
    public void A_result_cut_anywhere_is_refused_and_never_a_fault_of_the_program()
    {
        var whole = Json(Starved, null).AsSpan().TrimEnd((byte)'\n').ToArray();

        for (var length = 0; length < whole.Length; length++)
        {
            Assert.Throws<FormatException>(() => EarlierCheckReader.Read(new MemoryStream(whole[..length]), "last.json"));
        }
    }

    // The climate control lives again, the engine's counter is worse, and the left door has lost its message.
    private static HealthReport Mended()
    {
        var modules = Starved.Modules;
        return Starved with
        {
            Modules =
            [
                modules[0],
                modules[1] with { Verdict = Verdict.Go },
                modules[2] with { Verdict = Verdict.NoGo },
                new ModuleHealth(new Signals.Definitions.ModuleDefinition { Name = "brakes", GivenTitle = "Brake control" }, Verdict.Go) { States = [0, 0, 0, 0, 0, 0] },
            ],
            Findings =
            [
                new Finding("message-missing", FindingSeverity.Fault, "DoorStatus never came: awaited for 60.5 s") { Bus = "chassis", Message = "DoorStatus", Modules = ["door-left"] },
                Starved.Findings[1] with { Severity = FindingSeverity.Fault },
            ],
        };
    }

    private static EarlierCheck Earlier(HealthReport report) => EarlierCheckReader.Read(new MemoryStream(Json(report, null)), "last.json");

    private static byte[] Json(HealthReport report, CheckChange? change)
    {
        var output = new MemoryStream();
        CheckJson.Write(output, SomeReport.Subject, report, change);
        return output.ToArray();
    }
}
