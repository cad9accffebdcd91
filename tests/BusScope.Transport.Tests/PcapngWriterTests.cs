using BusScope.Frames;
using BusScope.TestKit;
using BusScope.Transport.Pcapng;
using CsCheck;
using Xunit;

namespace BusScope.Transport.Tests;

public class PcapngWriterTests
{
    private static readonly Bus[] Buses =
    [
        new("chassis") { BitRate = 500_000, DataBitRate = 2_000_000, Description = "left adapter", Comments = ["first", "zweite — 二"] },
        new("cabin"),
        new("race") { BitRate = 1_000_000 },
    ];

    private static byte[] Write(IEnumerable<Frame> frames, IReadOnlyList<Bus>? buses = null, params string[] comments)
    {
        using var stream = new MemoryStream();
        using (var writer = PcapngWriter.Create(stream, new PcapngWriterOptions { Comments = comments }))
        {
            foreach (var batch in Some.Batches(frames))
            {
                writer.Write(batch, buses ?? Buses);
            }

            writer.Complete();
        }

        return stream.ToArray();
    }

    [Fact]
    public void Whatever_is_written_is_read_back_whole() =>
        FrameGens.Frame(Buses.Length, FrameGens.AnyTime).Array[0, 60].Sample(frames =>
        {
            var (source, read) = Captures.Read(Write(frames));

            Assert.Equal(frames.Select(ReadFrames.Line), read.Lines);
            Assert.DoesNotContain(source.Problems.All, p => p.Kind != CaptureProblems.IdentifiersSwapped);
        });

    [Fact]
    public void Frames_that_a_faulty_source_says_are_longer_than_their_kind_stay_what_they_are()
    {
        foreach (var length in Enumerable.Range(9, 56))
        {
            var frame = Some.Frame(0x12, new string('A', 2 * length));

            Assert.Equal([ReadFrames.Line(frame)], Captures.Read(Write([frame])).Read.Lines);
        }
    }

    [Fact]
    public void Identifiers_too_large_for_their_format_stay_what_they_are()
    {
        var frame = Some.Frame(0x12345, "01");

        Assert.Equal([ReadFrames.Line(frame)], Captures.Read(Write([frame])).Read.Lines);
    }

    [Fact]
    public void Buses_and_their_rates_descriptions_and_comments_are_read_back()
    {
        var (source, _) = Captures.Read(Write([], Buses, "on the way home", "second"));

        Assert.Equal(
            Buses.Select(b => (b.Name, b.BitRate, b.DataBitRate, b.Description, string.Join('|', b.Comments))),
            source.Buses.Select(b => (b.Name, b.BitRate, b.DataBitRate, b.Description, string.Join('|', b.Comments))));
        Assert.Equal(["on the way home", "second"], source.Comments);
        Assert.Empty(source.Problems.All);
    }

    [Fact]
    public void Times_before_the_epoch_do_not_change_what_the_file_says_of_its_buses()
    {
        var frames = new[] { 22_000.0, -364, 5, -1 }.Select(ms => Some.Frame(1, "01", ms, bus: 2)).ToList();

        var (source, read) = Captures.Read(Write(frames, Buses, "once"));

        Assert.Equal(frames.Select(ReadFrames.Line), read.Lines);
        Assert.Equal(["chassis", "cabin", "race"], source.Buses.Select(b => b.Name));
        Assert.Equal(["first", "zweite — 二"], source.Buses[0].Comments);
        Assert.Equal(["once"], source.Comments);
    }

    [Fact]
    public void Buses_met_later_are_added()
    {
        using var stream = new MemoryStream();
        using var writer = PcapngWriter.Create(stream);
        var batch = new FrameBatch();
        batch.Add() = Some.Frame(1, "01");
        writer.Write(batch, Buses[..1]);
        batch.Clear();
        batch.Add() = Some.Frame(2, "02", bus: 2);
        writer.Write(batch, Buses);
        writer.Complete();

        var (source, read) = Captures.Read(stream.ToArray());

        Assert.Equal([0, 2], read.Frames.Select(f => (int)f.Bus));
        Assert.Equal(3, source.Buses.Count);
        Assert.Equal(2, writer.Frames);
    }

    [Fact]
    public void Comments_on_frames_are_read_back()
    {
        var batch = new FrameBatch();
        batch.Add() = Some.Frame(1, "01");
        batch.Add() = Some.Frame(2, "02");
        batch.Note("pedal");
        batch.Note("again");
        batch.Add() = Some.Frame(3, "03");
        batch.Note("brake");
        batch.Add() = Some.Frame(4, "04");
        using var stream = new MemoryStream();
        using var writer = PcapngWriter.Create(stream);
        writer.Write(batch, Buses);
        writer.Complete();

        Assert.Equal(["2: pedal", "2: again", "3: brake"], Captures.Read(stream.ToArray()).Read.Notes);
    }

    [Fact]
    public void A_comment_too_long_for_the_format_is_cut_at_a_whole_character()
    {
        var (source, _) = Captures.Read(Write([], Buses, new string('二', 30_000)));

        Assert.Equal(new string('二', 21_845), source.Comments[0]);
    }

    [Fact]
    public void A_file_appears_under_its_name_only_when_it_is_complete()
    {
        using var folder = new Captures.TemporaryFolder();
        var path = folder.File("out.pcapng", [1, 2, 3]);
        using (var writer = PcapngWriter.Create(path))
        {
            writer.Write(Some.Batches([Some.Frame(1, "01")]).First(), Buses);

            Assert.Equal([1, 2, 3], File.ReadAllBytes(path));
            writer.Complete();
        }

        using var source = CaptureFile.Open(path);
        Assert.Single(ReadFrames.From(source, TestContext.Current.CancellationToken).Frames);
        Assert.Single(Directory.GetFiles(folder.Path));
    }

    [Fact]
    public void A_file_that_is_given_up_leaves_nothing()
    {
        using var folder = new Captures.TemporaryFolder();

        using (var writer = PcapngWriter.Create(Path.Combine(folder.Path, "out.pcapng")))
        {
            writer.Write(Some.Batches([Some.Frame(1, "01")]).First(), Buses);
        }

        Assert.Empty(Directory.GetFiles(folder.Path));
    }

    [Fact]
    public void A_full_disk_is_told_and_leaves_nothing()
    {
        Assert.SkipUnless(File.Exists("/dev/full"), "there is no /dev/full, the kernel's disk that is always full");
        using var folder = new Captures.TemporaryFolder();
        var path = Path.Combine(folder.Path, "out.pcapng");
        File.CreateSymbolicLink($"{path}.{Environment.ProcessId}.partial", "/dev/full");
        using var writer = PcapngWriter.Create(path);
        writer.Write(Some.Batches([Some.Frame(1, "01")]).First(), Buses);

        var failure = Assert.Throws<IOException>(writer.Complete);

        Assert.StartsWith($"{path}: cannot be written: ", failure.Message, StringComparison.Ordinal);
        Assert.EndsWith("; what was written has been removed", failure.Message, StringComparison.Ordinal);
        Assert.Empty(Directory.GetFileSystemEntries(folder.Path));
    }

    [Theory]
    [InlineData("/dev/null")]
    [InlineData("/dev/../dev/full")]
    public void A_device_is_not_replaced_by_a_file(string path)
    {
        Assert.SkipWhen(OperatingSystem.IsWindows(), "devices are no files here");

        var failure = Assert.Throws<IOException>(() => PcapngWriter.Create(path));

        Assert.StartsWith($"{path}: cannot be written: it stands for a device", failure.Message, StringComparison.Ordinal);
        Assert.Empty(Directory.GetFiles("/dev", "*.partial"));
    }

    [Fact]
    public void A_place_that_cannot_be_written_is_told()
    {
        using var folder = new Captures.TemporaryFolder();

        Assert.Equal($"{folder.Path}: cannot be written: it is a folder", Assert.Throws<IOException>(() => PcapngWriter.Create(folder.Path)).Message);
        Assert.Equal($"{folder.Path}/a/b: cannot be written: its folder does not exist", Assert.Throws<IOException>(() => PcapngWriter.Create(folder.Path + "/a/b")).Message);
    }

    [Fact]
    public void Writing_allocates_nothing_per_frame()
    {
        var batch = Some.Batches(Enumerable.Range(0, 256).Select(i => Some.Frame((uint)i, "0102030405060708", i))).First();
        using var writer = PcapngWriter.Create(Stream.Null);

        Assert.Equal(0, Allocation.Of(() => writer.Write(batch, Buses)));
    }
}
