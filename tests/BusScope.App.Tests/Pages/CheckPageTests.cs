using System.Globalization;
using System.Text.RegularExpressions;
using System.Xml.Linq;
using BusScope.Demo;
using BusScope.Frames;
using BusScope.Health;
using BusScope.Reports;
using BusScope.Reports.Pages;
using BusScope.Session;
using BusScope.Signals.Definitions;
using BusScope.Signals.Loading;
using BusScope.Signals.Plans;
using BusScope.TestKit;
using Xunit;

namespace BusScope.App.Tests.Pages;

/// <summary>The page of a check: whole, self-contained, and safe against whatever stands in names.</summary>
public partial class CheckPageTests
{
    private const string Hostile = "</style></title><script>alert(1)</script>\"'&<b>\u001B[2J\uFFFE\u202E]]>";
    private static readonly DateTimeOffset Noon = new(2026, 5, 9, 12, 0, 0, TimeSpan.FromHours(2));
    private static readonly Lazy<HealthReport> Swapped = new(() => Check("swapped"));

    [Fact]
    public void The_verdict_stands_on_top_then_modules_then_findings_and_cautions_at_the_end()
    {
        var page = Parse(Html(Swapped.Value));

        Assert.Equal("NO-GO", Named(page, "p").First(p => KindOf(p) == "word").Value);
        Assert.Equal(
            ["Modules", "Findings", "Presence of all messages over time", "Buses", "Messages in figures", "What was checked, and with what", "Cautions, and what a bus can prove"],
            Named(page, "h2").Select(heading => heading.Value));
        Assert.Contains("2026-05-09 12:00:00 +02:00", page.Value, StringComparison.Ordinal);
    }

    [Fact]
    public void Every_module_has_its_verdict_and_what_it_is_starved_of()
    {
        var report = Swapped.Value;

        var rows = Rows(Parse(Html(report)), "modules");

        Assert.Equal(report.Modules.Select(module => module.Definition.Title), rows.Select(row => row[0]));
        Assert.Equal(report.Modules.Select(module => Words.Called(module.Verdict)), rows.Select(row => row[1]));
        Assert.All(report.Modules.Zip(rows), pair => Assert.Equal(
            report.Findings.Where(finding => finding.Severity == FindingSeverity.Fault && finding.Modules.Contains(pair.First.Definition.Name)).Select(finding => finding.Message!).Distinct(),
            pair.Second[^1].Split(", ", StringSplitOptions.RemoveEmptyEntries)));
    }

    [Fact]
    public void A_module_without_a_verdict_names_what_of_it_was_not_judged()
    {
        var report = Check(
            "busscope: 1\nmodules: { body: {}, dash: {} }\nmessages: { Gear: { id: 0x1A0, every: 20 ms, needed-by: [body, dash] }, Rare: { id: 0x1A1, every: 10 s, needed-by: [body] } }",
            Enumerable.Range(0, 500).Select(i => Some.Frame(0x1A0, "00", i * 20.0)).Append(Some.Frame(0x1A1, "00", 1)));

        Assert.Equal([("INCONCLUSIVE", "not judged: Rare"), ("GO", "")], Rows(Parse(Html(report)), "modules").Select(row => (row[1], row[^1])));
    }

    [Fact]
    public void Every_finding_is_told_once_with_its_evidence()
    {
        var report = Swapped.Value;

        var told = Named(Parse(Html(report)), "article").Select(article => article.Value).ToList();

        Assert.Equal(report.Findings.Count, told.Count);
        Assert.All(report.Findings, finding =>
        {
            var text = Assert.Single(told, each => each.Contains(finding.Text, StringComparison.Ordinal) && each.Contains(finding.Code, StringComparison.Ordinal));
            Assert.All(finding.Modules, module => Assert.Contains(module, text, StringComparison.Ordinal));
        });
    }

    [Fact]
    public void Findings_of_time_are_drawn_with_their_limits()
    {
        var figures = Named(Parse(Html(Swapped.Value)), "figure").Select(figure => figure.Value).ToList();

        var stale = Assert.Single(figures, figure => figure.Contains("StarterStatus", StringComparison.Ordinal));
        Assert.Contains("stale after 200 ms", stale, StringComparison.Ordinal);
        Assert.Contains("expected every 20 ms", stale, StringComparison.Ordinal);
        Assert.Contains(figures, figure => figure.Contains("Load of bus chassis", StringComparison.Ordinal));
    }

    // Every 20 ms from one, and 6 ms later from the other: gaps of 6 and 14 ms in turn, on an axis up to 112 % of 20 ms over 130 units.
    [Fact]
    public void The_gaps_of_two_senders_are_drawn_as_two_lines()
    {
        var frames = Enumerable.Range(0, 1000).Select(i => Some.Frame(0x1A0, "00", (i / 2 * 20.0) + (i % 2 * 6)));

        var figure = FigureOf("Gear", Check("busscope: 1\nmessages: { Gear: { id: 0x1A0, every: 20 ms } }", frames));

        var lines = Named(figure, "path").Where(path => path.Attribute("stroke")?.Value == "#0072B2")
            .Select(path => Assert.Single(Height().Matches(path.Attribute("d")!.Value).Select(point => point.Groups[1].Value).Distinct()))
            .Select(height => (154 - double.Parse(height, CultureInfo.InvariantCulture)) * 20 * 1.12 / 130);
        Assert.Equal([6, 14], lines.Select(gap => Math.Round(gap, 1)));
    }

    [Fact]
    public void Every_message_has_its_line_of_presence()
    {
        var report = Swapped.Value;

        var strips = Named(Parse(Html(report)), "svg").Where(svg => KindOf(svg) == "strip").ToList();

        Assert.Equal(report.Messages.Count, strips.Count);
        Assert.Equal("EngineCooling never came", Assert.Single(strips, strip => Named(strip, "path").All(path => KindOf(path) == "off")).Attribute("aria-label")!.Value);
        Assert.Contains(strips, strip => strip.Attribute("aria-label")!.Value == "EngineSpeed came without a break");
    }

    // The key is on from 0 to 4 s and from 8 s on; the fan comes from 0 to 1.5 s and from 3 to 4 s only. Lanes are 1000 wide for 10 s.
    [Fact]
    public void What_is_expected_under_a_condition_is_drawn_as_absent_wherever_that_held_and_nowhere_else()
    {
        const string definitions = """
            busscope: 1
            messages:
              Key: { id: 0x100, every: 100 ms, signals: { On: { byte: 0 } } }
              Fan: { id: 0x200, every: 50 ms, stale-after: 300 ms, while: On == 1 }
            """;
        var frames = Enumerable.Range(0, 101).Select(i => Some.Frame(0x100, i is < 40 or >= 80 ? "01" : "00", i * 100.0))
            .Concat(Enumerable.Range(0, 201).Where(i => i is < 30 or (>= 60 and < 80)).Select(i => Some.Frame(0x200, "00", (i * 50.0) + 1)));

        var strip = StripOf("Fan", Check(definitions, frames));

        var absent = Stretch().Matches(Named(strip, "path").Single(path => KindOf(path) == "off").Attribute("d")!.Value)
            .Select(part => (Math.Round(Number(part, 1) / 10), Math.Round(Number(part, 2) / 10)));
        Assert.Equal([(15, 30), (80, 100)], absent);

        static double Number(Match part, int group) => double.Parse(part.Groups[group].Value, CultureInfo.InvariantCulture);
    }

    // The key is on from 0 to 8 s; the fan is away from 3 to 4 s, and comes no more when the key is off.
    [Fact]
    public void A_gap_is_drawn_for_as_long_as_the_message_was_expected()
    {
        const string definitions = """
            busscope: 1
            messages:
              Key: { id: 0x100, every: 100 ms, signals: { On: { byte: 0 } } }
              Fan: { id: 0x200, every: 50 ms, stale-after: 300 ms, while: On == 1 }
            """;
        var report = Check(definitions, Enumerable.Range(0, 120).Select(i => Some.Frame(0x100, i < 80 ? "01" : "00", i * 100.0))
            .Concat(Enumerable.Range(0, 160).Where(i => i is < 60 or >= 80).Select(i => Some.Frame(0x200, "00", (i * 50.0) + 1))));

        Assert.Single(Named(FigureOf("Fan", report), "path"), path => path.Attribute("stroke")?.Value == "#D55E00");
    }

    [Fact]
    public void The_name_of_the_period_stands_above_what_was_measured()
    {
        var frames = Enumerable.Range(0, 100).Select(i => Some.Frame(0x200, "00", (i * 100.0) + (i % 3 == 0 ? 0 : 60)));

        var figure = FigureOf("Fan", Check("busscope: 1\nmessages: { Fan: { id: 0x200, every: 100 ms, stale-after: 300 ms } }", frames));

        var measured = Named(figure, "path").Where(path => path.Attribute("stroke")?.Value == "#0072B2").SelectMany(path => Height().Matches(path.Attribute("d")!.Value));
        var name = Named(figure, "text").Single(text => text.Value == "expected every 100 ms").Attribute("y")!.Value;
        Assert.True(double.Parse(name, CultureInfo.InvariantCulture) < measured.Min(point => double.Parse(point.Groups[1].Value, CultureInfo.InvariantCulture)));
    }

    [Fact]
    public void What_a_recording_of_several_does_not_hold_is_drawn_as_nothing()
    {
        var whole = Check("busscope: 1\nmessages: { Fan: { id: 0x200, every: 50 ms, stale-after: 300 ms } }", Enumerable.Range(0, 200).Where(i => i is >= 60 and < 100).Select(i => Some.Frame(0x200, "00", i * 50.0)).Append(Some.Frame(0x300, "00", 0)).Append(Some.Frame(0x300, "00", 10_000)));
        var part = whole with { Buses = [whole.Buses[0] with { RecordedFrom = At(3), RecordedUntil = At(4.95) }] };

        Assert.Contains(Named(StripOf("Fan", whole), "path"), path => KindOf(path) == "off");
        Assert.DoesNotContain(Named(StripOf("Fan", part), "path"), path => KindOf(path) == "off");

        static FrameTime At(double seconds) => new((long)(seconds * FrameSpan.NanosecondsPerSecond));
    }

    [Fact]
    public void It_needs_nothing_but_itself()
    {
        var html = Html(Swapped.Value);
        var page = Parse(html);

        Assert.Empty(Named(page, "script").Concat(Named(page, "link")).Concat(Named(page, "img")).Concat(Named(page, "iframe")));
        Assert.DoesNotMatch(Fetching(), html);
        Assert.All(
            page.Descendants().Attributes().Where(attribute => attribute.Name.LocalName is "href" or "src"),
            attribute => Assert.StartsWith("#", attribute.Value, StringComparison.Ordinal));
    }

    [Fact]
    public void Every_link_leads_somewhere_and_no_name_is_given_twice()
    {
        var page = Parse(Html(Swapped.Value));
        var ids = page.Descendants().Attributes("id").Select(id => id.Value).ToList();

        Assert.Equal(ids.Distinct().Count(), ids.Count);
        Assert.All(page.Descendants().Attributes("href"), link => Assert.Contains(link.Value[1..], ids));
    }

    [Fact]
    public void Names_from_outside_stay_text()
    {
        var report = HostileReport();

        var html = Html(report, Hostile);

        var page = Parse(html);
        var shown = Hostile.Replace("\u001B", "\\u001B", StringComparison.Ordinal).Replace("\u202E", "\\u202E", StringComparison.Ordinal).Replace('\uFFFE', '\uFFFD');
        Assert.Empty(Named(page, "script"));
        Assert.Single(Named(page, "style"));
        Assert.Equal(shown, Named(page, "h1").Single().Value);
        Assert.Equal($"INCONCLUSIVE: {shown}", Named(page, "title").Single().Value);
        Assert.Equal(shown, Rows(page, "modules").Single()[0]);
        Assert.Contains(shown, Named(page, "article").Single().Value, StringComparison.Ordinal);
        Assert.DoesNotContain('\u001B', html);
    }

    [Fact]
    public void A_check_of_nothing_has_a_page_as_well()
    {
        var page = Parse(Html(new HealthReport(Verdict.Inconclusive)));

        Assert.Contains("Not one frame was received", page.Value, StringComparison.Ordinal);
        Assert.Empty(Named(page, "figure"));
    }

    [Fact]
    public void A_hash_is_that_of_the_standard() =>
        // FIPS 180-2, appendix B.1.
        Assert.Equal("ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad", FileIdentity.OfBytes("text", "abc", "abc"u8).Sha256);

    private static string Html(HealthReport report, string name = "drive.pcapng")
    {
        var output = new StringWriter();
        var run = new RunSubject(name) { Title = name, Definitions = name };
        CheckPage.Write(output, new PageSubject(run, Noon, "BusScope 0") { Files = [FileIdentity.OfBytes("capture", name, "abc"u8)] }, report);
        return output.ToString();
    }

    private static HealthReport Check(string story)
    {
        var definitions = DemoDefinitions.LoadFor(DemoStories.All.First(each => each.Name == story)).Definitions!;
        using var source = DemoSource.Open(story);
        var monitor = new HealthMonitor(new DefinitionPlan(definitions), new MonitorOptions { KeepHistory = true });
        return SessionRun.ToEnd(source, monitor, null, TestContext.Current.CancellationToken, new RunOptions { Length = FrameSpan.FromSeconds(12) }).Health;
    }

    private static HealthReport Check(string definitions, IEnumerable<Frame> frames)
    {
        var monitor = new HealthMonitor(new DefinitionPlan(DefinitionLoader.LoadText(definitions, "car.yaml").Definitions!), new MonitorOptions { KeepHistory = true });
        foreach (var batch in Some.Batches(frames.OrderBy(frame => frame.Time)))
        {
            monitor.Accept(batch, [new Bus("body")]);
        }

        return monitor.Report(isFinal: true);
    }

    private static XElement FigureOf(string message, HealthReport report) =>
        Named(Parse(Html(report)), "figure").First(figure => figure.Value.Contains(message, StringComparison.Ordinal));

    private static XElement StripOf(string message, HealthReport report) =>
        Named(Parse(Html(report)), "svg").Single(svg => KindOf(svg) == "strip" && svg.Attribute("aria-label")!.Value.StartsWith($"{message} ", StringComparison.Ordinal));

    private static HealthReport HostileReport() => new(Verdict.Inconclusive)
    {
        First = new FrameTime(0),
        Now = new FrameTime(2_000_000_000),
        Frames = 1,
        Buses = [new BusHealth(Hostile)],
        Modules = [new ModuleHealth(new ModuleDefinition { Name = Hostile }, Verdict.Inconclusive) { States = [0, 0, 0, 0, 0, 0] }],
        Messages = [new MessageHealth { Bus = Hostile, Definition = new MessageDefinition { Name = Hostile, Key = new MessageKey.Identifier(new CanId(1, false)) } }],
        Findings = [new Finding(Hostile, FindingSeverity.Fault, Hostile) { Bus = Hostile, Message = Hostile, Signal = Hostile, Modules = [Hostile] }],
    };

    private static XElement Parse(string html)
    {
        Assert.StartsWith("<!DOCTYPE html>\n<html", html, StringComparison.Ordinal);
        return XDocument.Parse(html["<!DOCTYPE html>\n".Length..]).Root!;
    }

    private static IEnumerable<XElement> Named(XElement under, string name) => under.Descendants().Where(element => element.Name.LocalName == name);

    private static string? KindOf(XElement element) => element.Attribute("class")?.Value;

    private static List<List<string>> Rows(XElement page, string table) =>
    [
        .. Named(Named(page, "table").Single(each => KindOf(each) == table), "tr").Skip(1).Select(row => Named(row, "td").Select(cell => cell.Value).ToList()),
    ];

    [GeneratedRegex(@"https?://(?!www\.w3\.org/)|url\((?!#)|@import|javascript:|\son\w+=", RegexOptions.IgnoreCase)]
    private static partial Regex Fetching();

    [GeneratedRegex(@"[ML][\d.]+ ([\d.]+)")]
    private static partial Regex Height();

    [GeneratedRegex(@"M([\d.]+) 1H([\d.]+)V9")]
    private static partial Regex Stretch();
}
