using System.Text;
using BusScope.Frames;
using BusScope.TestKit;
using BusScope.Transport.Audit;
using Xunit;
using static BusScope.TestKit.CaptureBuilder;

namespace BusScope.Transport.Tests;

public class CaptureFileTests
{
    private static byte[] Good(int frames)
    {
        var b = new CaptureBuilder().Section().Interface("x");
        for (var i = 0; i < frames; i++)
        {
            b.Packet(0, (ulong)i, Record((uint)i & 0x7FF, "0102030405060708"));
        }

        return b.Bytes;
    }

    [Fact]
    public void A_file_is_recognised_by_its_content_and_fills_its_batches()
    {
        using var folder = new Captures.TemporaryFolder();
        using var source = CaptureFile.Open(folder.File("holiday.jpg", Good(20_000)));
        var (batch, counts) = (new FrameBatch(), new List<int>());
        var progress = new List<double>();

        while (source.Read(batch, TestContext.Current.CancellationToken) != SourceState.Ended)
        {
            counts.Add(batch.Count);
            progress.Add(source.Progress!.Value);
        }

        Assert.Equal(20_000, counts.Sum());
        Assert.All(counts.SkipLast(1), count => Assert.Equal(FrameBatch.Capacity, count));
        Assert.Equal(progress.Order(), progress);
        Assert.InRange(progress[0], 0.001, 0.05);
        Assert.Equal(1, source.Progress);
    }

    [Fact]
    public void Each_fault_of_the_file_itself_is_told_in_one_sentence()
    {
        using var folder = new Captures.TemporaryFolder();
        var missing = Path.Combine(folder.Path, "missing.pcapng");
        var empty = folder.File("empty", []);
        var unknown = folder.File("unknown", [0x7F, 0x45, 0x4C, 0x46, 2, 1, 1, 0]);

        Assert.Equal($"{folder.Path}: is a folder, not a capture", Message(folder.Path));
        Assert.Equal($"{missing}: does not exist", Message(missing));
        Assert.Equal($"{missing}/deeper: does not exist", Message(missing + "/deeper"));
        Assert.Equal($"{empty}: is empty", Message(empty));
        Assert.Equal($"{unknown}: is of an unknown kind; pcapng, pcap and text tables are read, also inside gzip or zstd", Message(unknown));

        static string Message(string path) => Assert.Throws<SourceException>(() => CaptureFile.Open(path)).Message;
    }

    [Fact]
    public void A_file_that_may_not_be_read_is_told()
    {
        Assert.SkipWhen(OperatingSystem.IsWindows() || Environment.UserName == "root", "permissions do not bind this user");
        using var folder = new Captures.TemporaryFolder();
        var path = folder.File("closed", Good(1));
        if (!OperatingSystem.IsWindows())
        {
            File.SetUnixFileMode(path, UnixFileMode.None);
        }

        Assert.Equal($"{path}: may not be read by this user", Assert.Throws<SourceException>(() => CaptureFile.Open(path)).Message);
    }

    [Theory]
    [InlineData(new byte[] { 0x0A, 0x0D, 0x0D })]
    [InlineData(new byte[] { 0xD4, 0xC3, 0xB2, 0x00 })]
    [InlineData(new byte[] { 0x28, 0xB5, 0x2F, 0x01 })]
    public void A_beginning_of_no_known_kind_is_a_source_exception(byte[] bytes) =>
        Assert.Throws<SourceException>(() => Captures.Read(bytes));

    [Fact]
    public void The_stream_of_a_capture_that_cannot_be_opened_is_closed()
    {
        var stream = new MemoryStream([1, 2, 3, 4]);

        Assert.Throws<SourceException>(() => CaptureFile.Open(stream, "x"));

        Assert.False(stream.CanRead);
    }

    [Fact]
    public void Disposing_a_source_closes_its_stream()
    {
        var stream = new MemoryStream(Good(1));

        CaptureFile.Open(stream, "x").Dispose();

        Assert.False(stream.CanRead);
    }

    [Fact]
    public void A_text_table_is_opened_also_inside_compression()
    {
        var text = Encoding.UTF8.GetBytes("time,id,data\n0.001,123,0102\n0.002,124,03\n");
        using var zstd = new ZstdSharp.Compressor();

        using var plain = CaptureFile.Open(new MemoryStream(text), "t");
        using var packed = CaptureFile.Open(new MemoryStream(zstd.Wrap(text).ToArray()), "t");

        var expected = ReadFrames.From(plain, TestContext.Current.CancellationToken).Lines;
        Assert.Equal(2, expected.Count);
        Assert.Equal(expected, ReadFrames.From(packed, TestContext.Current.CancellationToken).Lines);
    }

    [Fact]
    public void Every_capture_of_the_kernel_beside_the_checkout_is_read_without_a_problem()
    {
        foreach (var path in Directory.EnumerateFiles(RepoFiles.Shared("vectors", "kernel"), "*.pcap"))
        {
            using var source = CaptureFile.Open(path);
            var read = ReadFrames.From(source, TestContext.Current.CancellationToken);

            // In one of them the kernel's own times step back by half a millisecond.
            Assert.DoesNotContain(source.Problems.All, p => p.Kind != AuditProblems.TimeStepsBack);
            Assert.Equal(File.ReadAllLines(Path.Combine(Path.GetDirectoryName(path)!, Path.GetFileName(path).Split('.')[0] + ".txt")).Length, read.Frames.Count);
        }
    }
}
