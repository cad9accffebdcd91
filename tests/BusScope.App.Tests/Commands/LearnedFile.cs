using Xunit;

namespace BusScope.App.Tests.Commands;

/// <summary>What is asked of a definition file that was learned.</summary>
internal static class LearnedFile
{
    /// <summary>It loads without a fault.</summary>
    public static void AssertFine(string definitions)
    {
        var run = CommandRun.Of("define", "check", definitions);
        Assert.Equal((0, ""), (run.Status, run.Error));
    }

    /// <summary>A check of a capture by it is GO.</summary>
    public static void AssertGo(string capture, string definitions)
    {
        var run = CommandRun.Of("check", capture, "--defs", definitions);
        Assert.True(run.Status == 0, run.Output);
        Assert.StartsWith("GO\n", run.Output, StringComparison.Ordinal);
    }
}
