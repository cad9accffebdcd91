using BusScope.TestKit;
using Xunit;

namespace BusScope.App.Tests.Commands;

public class WrongUsageTests
{
    [Theory]
    [InlineData("no-command", "")]
    [InlineData("misspelled-command", "chek")]
    [InlineData("misspelled-option", "check x --defs y --formt json")]
    [InlineData("no-source", "summary")]
    [InlineData("unknown-format", "check x --defs y --format xml")]
    [InlineData("no-bit-rate", "summary x --bitrate chassis=fast")]
    [InlineData("no-length-of-time", "check x --defs y --for ever")]
    [InlineData("no-definitions", "check x")]
    [InlineData("no-output-file", "convert x")]
    [InlineData("no-baseline-file", "learn x")]
    [InlineData("standard-input-twice", "summary - a=-")]
    [InlineData("no-source-behind-the-bus", "check pt= --defs y")]
    public void Wrong_usage_is_told_without_the_whole_help_and_with_status_2(string part, string arguments)
    {
        var run = CommandRun.Of(arguments.Split(' ', StringSplitOptions.RemoveEmptyEntries));

        Assert.Equal(2, run.Status);
        Assert.Empty(run.Output);
        Snapshot.Match(run.Error, part);
    }

    [Theory]
    [InlineData("SOURCE", "check", "", "--defs", "y")]
    [InlineData("CAPTURE", "learn", " ", "--out", "y")]
    [InlineData("--report", "check", "x", "--defs", "y", "--report", "")]
    [InlineData("--against", "check", "x", "--defs", "y", "--against", "")]
    [InlineData("--out", "convert", "x", "--out", "   ")]
    public void A_value_that_is_empty_names_what_it_is_the_value_of(string name, params string[] arguments)
    {
        var run = CommandRun.Of(arguments);

        Assert.Equal((2, $"busscope: {name}: is empty; as when a variable of a script has no value"), (run.Status, run.Error.TrimEnd()));
    }
}
