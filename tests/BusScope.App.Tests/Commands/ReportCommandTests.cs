using System.Text.Json;
using Xunit;

namespace BusScope.App.Tests.Commands;

/// <summary><c>check --report</c>: where the page lands, and what stands in its way.</summary>
public sealed class ReportCommandTests : IDisposable
{
    private const string Capture = "captures/swapped.pcapng.gz";
    private static readonly string[] Check =
    [
        "check", Capture, "--defs", "signal-defs/dunlin", "--for", "2s",
    ];

    private readonly ScratchFolder scratch = new();

    public void Dispose() => scratch.Dispose();

    [Fact]
    public void The_report_is_written_beside_the_result_and_changes_neither_it_nor_the_status()
    {
        var path = scratch.File("report.html");

        var plain = CommandRun.Of(Check);
        var run = CommandRun.Of([.. Check, "--report", path]);

        Assert.Equal((plain.Output, plain.Status), (run.Output, run.Status));
        Assert.Equal($"report: {path}\n", run.Error);
        Assert.Equal([path], Directory.GetFiles(scratch.Path));
        var page = File.ReadAllText(path);
        Assert.Contains("NO-GO", page, StringComparison.Ordinal);
        Assert.Contains(Convert.ToHexStringLower(System.Security.Cryptography.SHA256.HashData(File.ReadAllBytes(Capture))), page, StringComparison.Ordinal);
        Assert.Contains("dunlin-race.yaml", page, StringComparison.Ordinal);
    }

    [Fact]
    public void With_a_report_findings_name_their_frames()
    {
        static IEnumerable<JsonElement> Frames(string json) =>
            JsonDocument.Parse(json).RootElement.GetProperty("findings").EnumerateArray().Where(finding => finding.GetProperty("code").GetString() == "checksum-wrong").Select(finding => finding.GetProperty("frame"));

        var with = CommandRun.Of([.. Check, "--format", "json", "--report", scratch.File("report.html")]);
        var without = CommandRun.Of([.. Check, "--format", "json"]);

        Assert.All(Frames(with.Output), frame => Assert.InRange(frame.GetInt64(), 1, 100));
        Assert.NotEmpty(Frames(with.Output));
        Assert.All(Frames(without.Output), frame => Assert.Equal(JsonValueKind.Null, frame.ValueKind));
    }

    [Fact]
    public void A_report_that_is_there_is_overwritten_only_when_asked()
    {
        var path = scratch.Write("report.html", "old");

        var refused = CommandRun.Of([.. Check, "--report", path]);

        Assert.Equal(2, refused.Status);
        Assert.Equal($"busscope: {path}: is there already; --force overwrites it\nSee: busscope check --help\n".Split('\n')[0], refused.Error.Split('\n')[0]);
        Assert.Empty(refused.Output);
        Assert.Equal("old", File.ReadAllText(path));
        Assert.Equal(1, CommandRun.Of([.. Check, "--report", path, "--force"]).Status);
        Assert.StartsWith("<!DOCTYPE html>", File.ReadAllText(path), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("nowhere/report.html", "its folder does not exist")]
    [InlineData("", "is a folder")]
    public void A_report_that_cannot_be_written_is_told_before_the_check(string name, string reason)
    {
        var run = CommandRun.Of([.. Check, "--report", scratch.File(name)]);

        Assert.Equal(3, run.Status);
        Assert.Contains(reason, run.Error, StringComparison.Ordinal);
        Assert.Empty(run.Output);
    }

    [Fact]
    public void A_report_never_takes_the_place_of_a_device()
    {
        var run = CommandRun.Of([.. Check, "--report", "/dev/null", "--force"]);

        Assert.Equal(3, run.Status);
        Assert.Contains("stands for a device", run.Error, StringComparison.Ordinal);
        Assert.Empty(File.ReadAllBytes("/dev/null"));
    }

    [Fact]
    public void A_check_that_cannot_begin_leaves_nothing_behind()
    {
        var run = CommandRun.Of("check", "nowhere.pcapng", "--defs", "signal-defs/template.yaml", "--report", scratch.File("report.html"));

        Assert.Equal(3, run.Status);
        Assert.Empty(Directory.GetFiles(scratch.Path));
    }

    [Fact]
    public void A_simulated_car_says_that_it_is_one()
    {
        var path = scratch.File("report.html");

        CommandRun.Of("check", "demo:healthy", "--for", "3s", "--report", path);

        Assert.Contains("told anew by the program", File.ReadAllText(path), StringComparison.Ordinal);
    }
}
