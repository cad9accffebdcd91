using BusScope.TestKit;
using Xunit;

namespace BusScope.App.Tests.Commands;

/// <summary>What a person sees, and the shell gets, when something is wrong with what they gave.</summary>
public class FailureTests
{
    [Theory]
    [InlineData("summary")]
    [InlineData("decode")]
    [InlineData("convert")]
    [InlineData("check")]
    public void A_missing_file_is_named(string command) =>
        Fails(3, command, Run(command, "nowhere/drive.pcapng"));

    [Fact]
    public void A_folder_is_no_capture() => Fails(3, null, CommandRun.Of("summary", "src"));

    [Fact]
    public void A_file_without_content_is_no_capture()
    {
        using var folder = new ScratchFolder();

        Fails(3, null, CommandRun.Of("summary", folder.Write("empty.pcapng", "")), folder);
    }

    [Fact]
    public void A_file_of_no_known_kind_is_refused()
    {
        using var folder = new ScratchFolder();

        Fails(3, null, CommandRun.Of("summary", folder.Write("picture.png", "\u0089PNG\r\n\u001A\n\0\0\0\rIHDR")), folder);
    }

    [Fact]
    public void A_file_that_may_not_be_read_is_named()
    {
        Assert.SkipWhen(Environment.UserName == "root", "root may read every file");
        using var folder = new ScratchFolder();
        var file = folder.Write("secret.pcapng", "x");
        if (!OperatingSystem.IsWindows())
        {
            File.SetUnixFileMode(file, UnixFileMode.None);
        }


        Fails(3, null, CommandRun.Of("summary", file), folder);
    }

    [Fact]
    public void Nothing_on_standard_input_is_no_capture() => Fails(3, null, CommandRun.Of("summary", "-"));

    [Fact]
    public void Missing_definitions_are_named() => Fails(2, null, CommandRun.Of("check", "demo:healthy", "--defs", "nowhere.yaml"));

    [Fact]
    public void Definitions_with_faults_are_told_all_at_once()
    {
        using var folder = new ScratchFolder();
        var file = folder.Write("bad.yaml", "busscope: 1\nmesages: {}\nmessages:\n  A: { id: 0x900, evry: 10 ms }\n");

        Fails(2, null, CommandRun.Of("define", "check", file), folder);
    }

    [Fact]
    public void A_story_that_is_not_told_is_no_source() => Fails(2, null, CommandRun.Of("summary", "demo:helthy"));

    [Fact]
    public void A_full_disk_is_told()
    {
        Assert.SkipUnless(File.Exists("/dev/full"), "there is no /dev/full here");
        using var full = new FileStream("/dev/full", FileMode.Open, FileAccess.Write, FileShare.ReadWrite, bufferSize: 0);

        Fails(3, null, CommandRun.Into(full, "summary", "demo:good-start"));
    }

    [Fact]
    public void A_reader_that_goes_away_ends_the_command_without_a_word()
    {
        var run = CommandRun.Into(new GonePipe(), "decode", "demo:good-start");

        Assert.Equal(141, run.Status);
        Assert.Empty(run.Error);
    }

    [Fact]
    public void Broken_off_a_check_still_reports_what_it_has_seen()
    {
        var run = CommandRun.BrokenOff("check", "demo:healthy");

        Assert.Equal(130, run.Status);
        Assert.StartsWith("INCONCLUSIVE\n", run.Output);
    }

    [Fact]
    public void Converting_does_not_overwrite()
    {
        using var folder = new ScratchFolder();
        var there = folder.Write("there.pcapng", "precious");

        var run = CommandRun.Of("convert", "demo:good-start", "--out", there);

        Fails(2, null, run, folder);
        Assert.Equal("precious", File.ReadAllText(there));
    }

    private static CommandRun Run(string command, string source) => command switch
    {
        "convert" => CommandRun.Of(command, source, "--out", "nowhere/copy.pcapng"),
        "summary" => CommandRun.Of(command, source),
        _ => CommandRun.Of(command, source, "--defs", "signal-defs/template.yaml"),
    };

    private static void Fails(int status, string? part, CommandRun run, ScratchFolder? folder = null, [System.Runtime.CompilerServices.CallerMemberName] string test = "")
    {
        Assert.Equal(status, run.Status);
        var text = folder is null ? run.ToString() : run.ToString().Replace(folder.Path, "FOLDER", StringComparison.Ordinal);
        Snapshot.Match(text, part, test: test);
    }

    private sealed class GonePipe : MemoryStream
    {
        private const int BrokenPipe = 32;

        public override void Write(byte[] buffer, int offset, int count) => throw new IOException("Broken pipe", BrokenPipe);

        public override void Write(ReadOnlySpan<byte> buffer) => throw new IOException("Broken pipe", BrokenPipe);
    }
}
