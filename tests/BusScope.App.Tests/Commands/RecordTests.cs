using BusScope.Frames;
using BusScope.TestKit;
using BusScope.Transport;
using BusScope.Transport.Pcapng;
using Xunit;

namespace BusScope.App.Tests.Commands;

public class RecordTests
{
    private static readonly Bus[] Buses = [new("chassis") { BitRate = 500_000 }];

    // A file that was created this very moment has not even its header yet.
    private static bool Holds(string path, int frames) => File.Exists(path) && new FileInfo(path).Length > 0 && Read(path).Count == frames;

    private static List<string> Read(string path)
    {
        using var source = CaptureFile.Open(path);
        return [.. ReadFrames.From(source, TestContext.Current.CancellationToken).Lines];
    }

    private static string Tidy(CommandRun run, ScratchFolder folder) => run.ToString().Replace(folder.Path, "FOLDER", StringComparison.Ordinal);

    // A capture of frames that are a millisecond apart.
    private static byte[] Capture(int first, int count, bool withHead = true)
    {
        using var stream = new MemoryStream();
        using var writer = PcapngWriter.Create(stream);
        writer.AddBuses(Buses);
        var head = stream.Length;
        foreach (var batch in Some.Batches(Enumerable.Range(first, count).Select(i => Some.Frame((uint)i & 0x7FF, "0102", i))))
        {
            writer.Write(batch, Buses);
        }

        return stream.ToArray()[(withHead ? 0 : (int)head)..];
    }

    [Fact]
    public void A_source_that_ends_is_recorded_whole()
    {
        using var folder = new ScratchFolder();
        var (stored, recorded) = (folder.File("stored.pcapng"), folder.File("recorded.pcapng"));
        CommandRun.Of("convert", "demo:good-start", "--out", stored);

        var run = CommandRun.Of("record", "demo:good-start", "--out", recorded);

        Assert.Equal(Read(stored), Read(recorded));
        Snapshot.Match(Tidy(run, folder));
    }

    [Fact]
    public void A_condition_begins_the_recording_and_what_came_before_it_is_there()
    {
        using var folder = new ScratchFolder();
        var path = folder.File("start.pcapng");

        var run = CommandRun.Of("record", "demo:good-start", "--out", path, "--when", "EngineSpeed/EngineSpeed > 500", "--before", "2s");

        // The same by another way: the values of the whole story, and its frames.
        var values = CommandRun.Of("decode", "demo:good-start").Output.Split('\n').Select(line => line.Split(',')).Where(row => row is [_, _, "EngineSpeed", "EngineSpeed", ..]);
        var trigger = decimal.Parse(values.First(row => decimal.Parse(row[5]) > 500)[0]);
        CommandRun.Of("convert", "demo:good-start", "--out", folder.File("whole.pcapng"));
        var expected = Read(folder.File("whole.pcapng")).Where(line => decimal.Parse(line.Split(' ')[0]) / 1_000_000_000 >= trigger - 2);
        Assert.Equal(0, run.Status);
        Assert.Equal(expected, Read(path));
    }

    [Fact]
    public void A_length_counts_from_the_frame_that_was_the_trigger_however_fast_the_source_is()
    {
        using var folder = new ScratchFolder();
        var path = folder.File("two.pcapng");

        var run = CommandRun.Of("record", "demo:good-start", "--out", path, "--when", "EngineSpeed/EngineSpeed > 500", "--for", "500ms");

        var times = Read(path).Select(line => decimal.Parse(line.Split(' ')[0]) / 1_000_000_000).ToList();
        Assert.Equal(0, run.Status);
        Assert.InRange(times.Max() - times[0], 0.49m, 0.5m);
    }

    [Fact]
    public void What_is_recorded_beside_a_check_has_the_bit_rates_of_the_definitions()
    {
        using var folder = new ScratchFolder();
        var definitions = folder.Write("two.yaml", "busscope: 1\nbuses:\n  x: { bitrate: 250 kbit/s }\nmessages:\n  A: { id: 0x123 }\n");
        var table = folder.Write("table.csv", "time,id,data\n0.1,123,01\n0.2,123,02\n");
        var path = folder.File("beside.pcapng");

        CommandRun.Of("check", $"x={table}", "--defs", definitions, "--record", path);

        using var source = CaptureFile.Open(path);
        var batch = new FrameBatch();
        source.Read(batch, TestContext.Current.CancellationToken);
        Assert.Equal(250_000, Assert.Single(source.Buses).BitRate);
    }

    [Fact]
    public void Bit_rates_of_the_definitions_stand_in_what_is_recorded_and_converted()
    {
        using var folder = new ScratchFolder();
        var definitions = folder.Write("two.yaml", "busscope: 1\nbuses:\n  x: { bitrate: 250 kbit/s }\nmessages: {}\n");
        var table = folder.Write("table.csv", "time,id,data\n0.1,123,01\n0.2,123,02\n");
        foreach (var command in (string[])["record", "convert"])
        {
            var path = folder.File($"{command}.pcapng");
            CommandRun.Of(command, $"x={table}", "--out", path, "--defs", definitions);

            using var source = CaptureFile.Open(path);
            ReadFrames.From(source, TestContext.Current.CancellationToken);
            Assert.Equal(("x", 250_000), Assert.Single(source.Buses) is var bus ? (bus.Name, bus.BitRate) : default);
        }
    }

    [Fact]
    public void Frames_that_a_recorder_lost_are_still_said_to_be_lost_in_a_copy()
    {
        using var folder = new ScratchFolder();
        var (stored, copy, recorded) = (folder.File("stored.pcapng"), folder.File("copy.pcapng"), folder.File("recorded.pcapng"));
        using (var writer = PcapngWriter.Create(stored))
        {
            writer.AddBuses(Buses);
            writer.ReportLost(0, 12);
            writer.Complete();
        }

        CommandRun.Of("convert", stored, "--out", copy);
        var run = CommandRun.Of("record", copy, "--out", recorded);

        Assert.Contains(", 12 frames lost by the adapter", run.Output, StringComparison.Ordinal);
        using var source = CaptureFile.Open(recorded);
        ReadFrames.From(source, TestContext.Current.CancellationToken);
        Assert.Equal(("recorder-dropped", 12), Assert.Single(source.Problems.All) is var problem ? (problem.Kind.Code, problem.Count) : default);
    }

    [Fact]
    public void Comments_on_a_recording_as_a_whole_stand_in_a_copy()
    {
        using var folder = new ScratchFolder();
        var (stored, copy) = (folder.File("stored.pcapng"), folder.File("copy.pcapng"));
        using (var writer = PcapngWriter.Create(stored, new PcapngWriterOptions { Comments = ["on the way home", "second"] }))
        {
            writer.AddBuses(Buses);
            writer.Complete();
        }

        CommandRun.Of("convert", stored, "--out", copy);

        using var source = CaptureFile.Open(copy);
        ReadFrames.From(source, TestContext.Current.CancellationToken);
        Assert.Equal(["on the way home", "second"], source.Comments);
    }

    [Fact]
    public void Ctrl_C_is_the_usual_end_of_a_recording_and_breaks_off_one_of_a_given_length()
    {
        using var folder = new ScratchFolder();

        Assert.Equal(0, CommandRun.BrokenOff("record", "demo:healthy", "--out", folder.File("a.pcapng")).Status);
        Assert.Equal(130, CommandRun.BrokenOff("record", "demo:healthy", "--out", folder.File("b.pcapng"), "--for", "60s").Status);
    }

    [Fact]
    public void A_length_of_time_ends_it()
    {
        using var folder = new ScratchFolder();
        var path = folder.File("short.pcapng");

        var run = CommandRun.Of("record", "demo:healthy", "--out", path, "--for", "5s");

        var times = Read(path).Select(line => long.Parse(line.Split(' ')[0])).ToList();
        Assert.Equal(0, run.Status);
        Assert.InRange((times.Max() - times.Min()) / 1e9, 4.99, 5.5);
    }

    [Fact]
    public void A_check_records_what_it_checks_and_says_the_same_as_without()
    {
        using var folder = new ScratchFolder();
        var (stored, recorded) = (folder.File("stored.pcapng"), folder.File("recorded.pcapng"));
        CommandRun.Of("convert", "demo:swapped", "--out", stored);
        var plain = CommandRun.Of("check", "demo:swapped", "--format", "json");

        var run = CommandRun.Of("check", "demo:swapped", "--format", "json", "--record", recorded);

        Assert.Equal((plain.Output, plain.Status), (run.Output, run.Status));
        Assert.Equal(Read(stored), Read(recorded));
    }

    [Theory]
    [InlineData("waits-for-nothing", "record demo:healthy --out x.pcapng --before 5s")]
    [InlineData("keeps-one-file", "record demo:healthy --out x.pcapng --keep 2GB")]
    [InlineData("keeps-too-little", "record demo:healthy --out x.pcapng --keep 100kB --rotate-time 1min")]
    [InlineData("no-size", "record demo:healthy --out x.pcapng --rotate-size large")]
    [InlineData("small-files", "record demo:healthy --out x.pcapng --rotate-size 5kB")]
    [InlineData("over-its-source", "record LICENSE --out LICENSE --force")]
    [InlineData("over-a-file", "record demo:healthy --out LICENSE")]
    [InlineData("over-a-file-beside", "check demo:healthy --record LICENSE")]
    [InlineData("bad-condition", "record demo:healthy --out x.pcapng --when EngineSpeed>>500")]
    [InlineData("unknown-signal", "record demo:healthy --out x.pcapng --when Speed>500")]
    [InlineData("no-definitions", "record captures/healthy.pcapng.gz --out x.pcapng --when Speed>500")]
    public void Wrong_usage_is_told_before_anything_is_written(string part, string arguments)
    {
        var run = CommandRun.Of(arguments.Split(' '));

        Assert.Equal(2, run.Status);
        Assert.False(File.Exists(RepoFiles.Path("x.pcapng")));
        Snapshot.Match(run.Error, part);
    }

    [Theory]
    [InlineData("/dev/null", "it stands for a device, and a file in its place would take that away")]
    [InlineData("nowhere/x.pcapng", "its folder does not exist")]
    [InlineData("src", "it is a folder")]
    public void A_place_that_cannot_be_written_is_told(string path, string reason)
    {
        var run = CommandRun.Of("record", "demo:healthy", "--out", path);

        Assert.Equal((3, $"busscope: {path}: cannot be written: {reason}\n"), (run.Status, run.Error));
    }

    [Fact]
    public async Task A_disk_that_is_full_before_anybody_saw_it_leaves_a_capture_that_opens()
    {
        Assert.SkipWhen(OperatingSystem.IsWindows(), "the limit is one of Unix shells");
        using var folder = new ScratchFolder();
        var path = folder.File("cut.pcapng");

        // A limit of 200 KB on every file; without the runtime's own double mapping of code, which such a limit would break.
        using var program = RealProgram.StartInShell($"ulimit -f 200; trap '' XFSZ; DOTNET_EnableWriteXorExecute=0 exec '{RealProgram.Path}' record demo:healthy --out '{path}'");
        var run = await program.End();

        Assert.Equal(3, run.Status);
        Assert.Contains($"busscope: {path}: cannot be written further: the file is as large as its disk allows", run.Error, StringComparison.Ordinal);
        using var source = CaptureFile.Open(path);
        Assert.InRange(ReadFrames.From(source, TestContext.Current.CancellationToken).Frames.Count, 4_000, 5_000);
        Assert.Empty(source.Problems.All);
    }

    [Fact]
    public void A_killed_recording_has_everything_that_came_a_second_before_and_more()
    {
        using var folder = new ScratchFolder();
        var path = folder.File("killed.pcapng");
        using var program = RealProgram.Start("record", "-", "--out", path);
        var expected = new List<string>();
        for (var i = 0; i < 5; i++)
        {
            program.Input.Write(Capture(i * 100, 100, withHead: i == 0));
            program.Input.Flush();
            expected.AddRange(Enumerable.Range(i * 100, 100).Select(n => ReadFrames.Line(Some.Frame((uint)n & 0x7FF, "0102", n))));

            // The start of the program takes its time; after that a second suffices.
            Assert.True(SpinWait.SpinUntil(() => Holds(path, expected.Count), TimeSpan.FromSeconds(i == 0 ? 30 : 1)), "frames did not reach the file within a second");
        }

        program.Input.Write(Capture(500, 100, withHead: false));
        program.Kill();

        var read = Read(path);
        Assert.InRange(read.Count, 500, 600);
        Assert.Equal(expected, read.Take(500));
        Assert.Equal(read.Count, RealProgram.Tool("tcpdump", "-r", path, "-t").Split('\n').Count(line => line.EndsWith("UNSUPPORTED", StringComparison.Ordinal)));
    }

    [Fact]
    public async Task A_recording_that_the_system_ends_is_complete()
    {
        Assert.SkipWhen(OperatingSystem.IsWindows(), "signals are those of Unix");
        using var folder = new ScratchFolder();
        var path = folder.File("ended.pcapng");
        using var program = RealProgram.Start("record", "-", "--out", path);
        program.Input.Write(Capture(0, 100));
        program.Input.Flush();
        Assert.True(SpinWait.SpinUntil(() => Holds(path, 100), TimeSpan.FromSeconds(30)));

        RealProgram.Tool("kill", "-TERM", $"{program.Id}");
        var run = await program.End();

        Assert.Equal((0, $"{path}: 100 frames, {new FileInfo(path).Length / 1e3:0.#} kB\n"), (run.Status, run.Output));
    }
}
