using Xunit;

namespace BusScope.App.Tests.Commands;

/// <summary>No output is written over what the same run reads, not even with <c>--force</c>.</summary>
public sealed class OutputGuardTests : IDisposable
{
    private readonly ScratchFolder scratch = new();
    private readonly string capture;
    private readonly string definitions;

    public OutputGuardTests()
    {
        capture = scratch.File("drive.pcapng.gz");
        File.Copy(TestKit.RepoFiles.Path("captures", "healthy.pcapng.gz"), capture);
        definitions = scratch.Write("d.yaml", "busscope: 1\nmessages: { A: { id: 0x7F0, every: 10 ms } }\n");
    }

    public void Dispose() => scratch.Dispose();

    [Theory]
    [InlineData("learn CAPTURE --out CAPTURE --force")]
    [InlineData("convert CAPTURE --out CAPTURE --force")]
    [InlineData("convert CAPTURE --out CAPTURE")]
    [InlineData("convert CAPTURE --out LINK --force")]
    [InlineData("convert CAPTURE --out HARD --force")]
    [InlineData("record HARD --out CAPTURE --force")]
    [InlineData("convert CAPTURE --defs DEFS --out DEFS --force")]
    [InlineData("check CAPTURE --defs DEFS --report CAPTURE --force")]
    [InlineData("check CAPTURE --defs DEFS --report DEFS --force")]
    [InlineData("check CAPTURE --defs FOLDER --report DEFS --force")]
    [InlineData("check LINK --defs DEFS --report CAPTURE --force")]
    [InlineData("record CAPTURE --out CAPTURE --force")]
    [InlineData("record CAPTURE --defs DEFS --out DEFS --force")]
    public void What_is_read_is_not_written_over(string line)
    {
        var link = scratch.File("link.pcapng.gz");
        File.CreateSymbolicLink(link, capture);
        var hard = scratch.File("hard.pcapng.gz");
        HardLink(capture, hard);
        var before = (File.ReadAllBytes(capture), File.ReadAllText(definitions));

        var run = CommandRun.Of([.. line.Split(' ').Select(word => word switch { "CAPTURE" => capture, "DEFS" => definitions, "LINK" => link, "HARD" => hard, "FOLDER" => scratch.Path, _ => word })]);

        Assert.Equal(2, run.Status);
        Assert.EndsWith(" and cannot be written at the same time\n", run.Error, StringComparison.Ordinal);
        Assert.Equal(before.Item1, File.ReadAllBytes(capture));
        Assert.Equal(before.Item2, File.ReadAllText(definitions));
        Assert.NotNull(new FileInfo(link).LinkTarget);
    }

    [Fact]
    public void A_folder_is_said_to_be_one()
    {
        var run = CommandRun.Of("learn", capture, "--out", scratch.Path);

        Assert.Equal((2, $"busscope: {scratch.Path}: is a folder; name a file in it\n"), (run.Status, run.Error));
    }

    // The framework makes symbolic links only.
    private static void HardLink(string file, string link)
    {
        using var made = System.Diagnostics.Process.Start("ln", [file, link]);
        made.WaitForExit();
        Assert.Equal(0, made.ExitCode);
    }
}
