using BusScope.TestKit;
using Xunit;

namespace BusScope.App.Tests.Commands;

/// <summary>Captures that come through a pipe.</summary>
public class StreamTests
{
    private static readonly string[] Definitions = ["--defs", "signal-defs/dunlin"];

    [Theory]
    [InlineData("swapped")]
    [InlineData("no-start-sensor")]
    [InlineData("launch")]
    public void A_stored_capture_through_a_pipe_is_judged_as_the_file_is(string story)
    {
        var file = $"captures/{story}.pcapng.gz";
        var stored = CommandRun.Of(["check", file, "--format", "json", .. Definitions]);

        var piped = CommandRun.WithPipe(File.ReadAllBytes(RepoFiles.Path(file)), ["check", "-", "--format", "json", .. Definitions]);

        Assert.Equal(stored.Output.Replace($"\"{file}\"", "\"standard input\"", StringComparison.Ordinal), piped.Output);
        Assert.Equal(stored.Status, piped.Status);
    }

    [Fact]
    public void A_stream_that_is_no_capture_is_told() =>
        Assert.Equal((3, "busscope: standard input: is empty\n"), CommandRun.WithPipe([], "summary", "-") is var run ? (run.Status, run.Error) : default);
}
