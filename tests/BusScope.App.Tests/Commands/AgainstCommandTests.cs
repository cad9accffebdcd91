using System.Text.Json;
using Xunit;

namespace BusScope.App.Tests.Commands;

/// <summary><c>check --against</c>: what changed since the last result.</summary>
public sealed class AgainstCommandTests : IDisposable
{
    private readonly ScratchFolder scratch = new();

    public void Dispose() => scratch.Dispose();

    [Fact]
    public void After_the_swap_back_the_faults_are_gone()
    {
        var last = scratch.Write("last.json", CommandRun.Of("check", "demo:swapped", "--format", "json").Output);

        var run = CommandRun.Of("check", "demo:healthy", "--against", last);
        var json = CommandRun.Of("check", "demo:healthy", "--against", last, "--format", "json");

        Assert.Equal((0, 0), (run.Status, json.Status));
        Assert.Contains($"Since {last}\n  verdict  NO-GO before, GO now\n", run.Output, StringComparison.Ordinal);
        Assert.Contains("  gone     fault: EngineCooling never came", run.Output, StringComparison.Ordinal);
        using var document = JsonDocument.Parse(json.Output);
        var against = document.RootElement.GetProperty("against");
        Assert.Equal("no-go", against.GetProperty("verdict").GetString());
        Assert.DoesNotContain(against.GetProperty("new").EnumerateArray(), finding => finding.GetProperty("now").GetString() == "fault");
        Assert.Contains(against.GetProperty("gone").EnumerateArray(), finding => finding.GetProperty("message").GetString() == "EngineCooling");
    }

    [Fact]
    public void The_report_says_it_as_well()
    {
        var last = scratch.Write("last.json", CommandRun.Of("check", "demo:swapped", "--format", "json").Output);
        var page = scratch.File("report.html");

        CommandRun.Of("check", "demo:healthy", "--against", last, "--report", page);

        var html = File.ReadAllText(page);
        Assert.Contains("NO-GO before, GO now", html, StringComparison.Ordinal);
        Assert.Contains("earlier result", html, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("nowhere.json", "nowhere.json: does not exist")]
    [InlineData("docs", "docs: is a folder, not an earlier result")]
    [InlineData("README.md", "README.md: is no result of 'check --format json': it is not JSON")]
    public void What_is_no_earlier_result_is_wrong_usage_and_told_before_the_check(string last, string message)
    {
        var run = CommandRun.Of("check", "demo:healthy", "--against", last);

        Assert.Equal(2, run.Status);
        Assert.StartsWith($"busscope: {message}", run.Error, StringComparison.Ordinal);
        Assert.Empty(run.Output);
    }
}
