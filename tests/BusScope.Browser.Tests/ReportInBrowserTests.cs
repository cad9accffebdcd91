using System.Diagnostics;
using BusScope.Demo;
using BusScope.Frames;
using BusScope.Health;
using BusScope.Reports;
using BusScope.Reports.Pages;
using BusScope.Session;
using BusScope.Signals.Plans;
using Xunit;
using Xunit.Sdk;

namespace BusScope.Browser.Tests;

/// <summary>The report in a real browser: it opens quietly and fast, prints whole, and fits a telephone.</summary>
public sealed class ReportInBrowserTests(Chromium chromium) : IClassFixture<Chromium>, IDisposable
{
    private const string Capture = "a capture of the invented car";
    private readonly DirectoryInfo folder = Directory.CreateTempSubdirectory("busscope-");

    public void Dispose() => folder.Delete(recursive: true);

    [Fact]
    public async Task It_opens_within_a_second_asks_for_nothing_and_complains_of_nothing()
    {
        await using var opened = await OpenedPage.Open(chromium.Browser, Report(), width: 1200);

        Assert.Empty(opened.Requests);
        Assert.Empty(opened.Complaints);
        Assert.InRange(opened.OpenedAfter, 1, 1_000);
        Assert.Equal("NO-GO", await opened.Page.Locator(".verdict .word").InnerTextAsync());
    }

    [Theory]
    [InlineData(360)]
    [InlineData(414)]
    [InlineData(768)]
    [InlineData(1200)]
    public async Task No_width_of_a_screen_makes_it_scroll_sideways(int width)
    {
        await using var opened = await OpenedPage.Open(chromium.Browser, Report(), width);

        var beyond = await opened.Page.EvaluateAsync<string[]>(
            """
            [...document.querySelectorAll('body *')]
              .filter(e => e.getBoundingClientRect().right > document.documentElement.clientWidth + 1 && !e.closest('.axis') && !e.closest('svg') && getComputedStyle(e.parentElement).overflow !== 'hidden')
              .map(e => e.tagName + ' ' + e.textContent.slice(0, 40))
            """);

        Assert.Empty(beyond);
        Assert.Equal(width, await opened.Page.EvaluateAsync<int>("document.documentElement.scrollWidth"));
    }

    [Fact]
    public async Task Words_in_plots_can_be_read_on_a_telephone()
    {
        await using var opened = await OpenedPage.Open(chromium.Browser, Report(), width: 360);

        var smallest = await opened.Page.EvaluateAsync<double>("Math.min(...[...document.querySelectorAll('figure svg text')].map(e => e.getBoundingClientRect().height))");

        // The height of a line in pixels of the screen; letters are about half of it.
        Assert.InRange(smallest, 8, 40);
    }

    [Theory]
    [InlineData("A4")]
    [InlineData("Letter")]
    public async Task It_prints_whole_with_heads_and_page_numbers(string format)
    {
        await using var opened = await OpenedPage.Open(chromium.Browser, Report(), width: 1200);
        var pdf = Path.Combine(folder.FullName, $"{format}.pdf");

        await opened.Page.PdfAsync(new() { Path = pdf, Format = format, PrintBackground = true });

        var pages = (await TextOf(pdf)).Split('\f', StringSplitOptions.RemoveEmptyEntries);
        Assert.InRange(pages.Length, 4, 12);
        Assert.Contains("NO-GO", pages[0], StringComparison.Ordinal);
        Assert.All(pages.Select((text, index) => (text, index)), page => Assert.Contains($"page {page.index + 1} of {pages.Length}", page.text, StringComparison.Ordinal));
        Assert.All(pages.Skip(1), text => Assert.Contains(Capture, text, StringComparison.Ordinal));
        var all = string.Concat(pages);
        Assert.Contains("EngineCooling never came", all, StringComparison.Ordinal);
        Assert.Contains("seconds since the first frame", all, StringComparison.Ordinal);
        Assert.Contains("Law and licensed practice come first.", all, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Headings_of_a_table_come_again_on_every_page_that_it_spans()
    {
        await using var opened = await OpenedPage.Open(chromium.Browser, Report(), width: 1200);
        var pdf = Path.Combine(folder.FullName, "report.pdf");

        await opened.Page.PdfAsync(new() { Path = pdf, Format = "A4" });

        var pages = (await TextOf(pdf)).Split('\f', StringSplitOptions.RemoveEmptyEntries);
        var spanned = pages.Where(page => page.Contains("EngineTorque", StringComparison.Ordinal) && page.Contains("9.9 to 10.1", StringComparison.Ordinal)).ToList();
        Assert.NotEmpty(spanned);
        Assert.All(pages.Where(page => page.Contains(" to 10.", StringComparison.Ordinal)), page => Assert.Contains("5 % to 95 %", page, StringComparison.Ordinal));
    }

    private string Report()
    {
        var story = DemoStories.All.First(each => each.Name == "swapped");
        using var source = DemoSource.Open(story.Name);
        var monitor = new HealthMonitor(new DefinitionPlan(DemoDefinitions.LoadFor(story).Definitions!), new MonitorOptions { KeepHistory = true });
        var result = SessionRun.ToEnd(source, monitor, null, TestContext.Current.CancellationToken, new RunOptions { Length = FrameSpan.FromSeconds(12) });
        var path = Path.Combine(folder.FullName, "report.html");
        using var output = new StreamWriter(path);
        CheckPage.Write(output, new PageSubject(new RunSubject(Capture), DateTimeOffset.UnixEpoch, "BusScope"), result.Health);
        return path;
    }

    // A general-purpose reader of the printed page.
    private static async Task<string> TextOf(string pdf)
    {
        const string reader = "/usr/bin/pdftotext";
        if (!File.Exists(reader) && Environment.GetEnvironmentVariable("CI") != "true")
        {
            throw SkipException.ForSkip($"there is no {reader} (Debian package poppler-utils)");
        }

        using var process = Process.Start(new ProcessStartInfo(reader, ["-layout", pdf, "-"]) { RedirectStandardOutput = true })!;
        var text = await process.StandardOutput.ReadToEndAsync(TestContext.Current.CancellationToken);
        await process.WaitForExitAsync(TestContext.Current.CancellationToken);
        return text;
    }
}
