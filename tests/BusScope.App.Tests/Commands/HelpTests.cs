using BusScope.TestKit;
using Xunit;

namespace BusScope.App.Tests.Commands;

public class HelpTests
{
    [Theory]
    [InlineData("")]
    [InlineData("demo")]
    [InlineData("watch")]
    [InlineData("record")]
    [InlineData("learn")]
    [InlineData("check")]
    [InlineData("summary")]
    [InlineData("decode")]
    [InlineData("convert")]
    [InlineData("define")]
    [InlineData("define check")]
    [InlineData("define show")]
    public void Each_command_explains_itself(string command)
    {
        var run = CommandRun.Of([.. command.Split(' ', StringSplitOptions.RemoveEmptyEntries), "--help"]);

        Assert.Equal(0, run.Status);
        Assert.Empty(run.Error);
        Snapshot.Match(run.Output, command.Length == 0 ? "busscope" : command.Replace(' ', '-'));
    }
}
