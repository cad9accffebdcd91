using System.IO.Compression;
using BusScope.Frames;
using BusScope.TestKit;
using BusScope.Transport.Audit;
using CsCheck;
using Xunit;
using static BusScope.TestKit.CaptureBuilder;

namespace BusScope.Transport.Tests;

public class CompressionTests
{
    private static readonly byte[] Whole = Build(2000);

    private static byte[] Build(int frames)
    {
        var b = new CaptureBuilder();
        var random = new Random(1);
        b.Section().Interface("x", options: b.Option(9, [9]));
        for (var i = 0; i < frames; i++)
        {
            var data = new byte[8];
            random.NextBytes(data);
            b.Packet(0, (ulong)i, Record((uint)i & 0x7FF, Convert.ToHexString(data)));
        }

        return b.Bytes;
    }

    private static byte[] Gzip(ReadOnlySpan<byte> bytes, CompressionLevel level = CompressionLevel.Optimal)
    {
        if (bytes.IsEmpty)
        {
            // GZipStream writes nothing at all for nothing; this is what gzip 1.12 makes of an empty file (RFC 1952).
            return Convert.FromHexString("1F8B080000000000000303000000000000000000");
        }

        using var result = new MemoryStream();
        using (var gzip = new GZipStream(result, level, leaveOpen: true))
        {
            gzip.Write(bytes);
        }

        return result.ToArray();
    }

    private static byte[] Zstd(ReadOnlySpan<byte> bytes)
    {
        using var zstd = new ZstdSharp.Compressor();
        return zstd.Wrap(bytes).ToArray();
    }

    private static byte[] Compress(string how, ReadOnlySpan<byte> bytes) => how == "gzip" ? Gzip(bytes) : Zstd(bytes);

    [Theory]
    [InlineData("gzip")]
    [InlineData("zstd")]
    public void A_compressed_capture_gives_the_same_frames(string how)
    {
        var (source, read) = Captures.Read(Compress(how, Whole));

        Assert.Equal(Captures.Read(Whole).Read.Lines, read.Lines);
        Assert.Equal($"pcapng in {how}", source.Format);
        Assert.Empty(source.Problems.All);
        Assert.Equal(1, source.Progress);
    }

    [Theory]
    [InlineData("gzip")]
    [InlineData("zstd")]
    public void Compressed_pieces_put_together_are_read_as_one(string how)
    {
        byte[] bytes = [.. Compress(how, Whole.AsSpan(0, 1001)), .. Compress(how, []), .. Compress(how, Whole.AsSpan(1001))];

        var (source, read) = Captures.Read(bytes);

        Assert.Equal(2000, read.Frames.Count);
        Assert.Empty(source.Problems.All);
    }

    [Fact]
    public void A_skippable_zstd_frame_in_front_is_recognised()
    {
        var (_, read) = Captures.Read([0x50, 0x2A, 0x4D, 0x18, 3, 0, 0, 0, 1, 2, 3, .. Zstd(Whole)]);

        Assert.Equal(2000, read.Frames.Count);
    }

    [Theory]
    [InlineData("gzip")]
    [InlineData("zstd")]
    public void Any_pieces_of_compressed_data_give_the_same_frames(string how)
    {
        var bytes = Compress(how, Whole);

        Gen.Int[1, 3000].Array[1, 10].Sample(sizes => Assert.Equal(2000, Captures.Read(new PiecewiseStream(bytes, sizes)).Read.Frames.Count), iter: 30);
    }

    [Theory]
    [InlineData("gzip")]
    [InlineData("zstd")]
    public void Compressed_data_cut_short_give_what_was_readable_and_one_problem(string how)
    {
        var bytes = Compress(how, Whole);
        var all = Captures.Read(Whole).Read.Lines;

        for (var length = 200; length < bytes.Length; length += 997)
        {
            AssertCut(length);
        }

        for (var length = bytes.Length - 12; length < bytes.Length; length++)
        {
            AssertCut(length);
        }

        void AssertCut(int length)
        {
            try
            {
                var (source, read) = Captures.Read(bytes[..length]);

                Assert.Equal(all.Take(read.Frames.Count), read.Lines);
                Assert.Equal(["compressed-cut-short 1"], Captures.Problems(source));
            }
            catch (SourceException e)
            {
                // So little that not even the first bytes came out.
                Assert.Equal("test: the compressed data end too early, before any content", e.Message);
            }
        }
    }

    [Fact]
    public void Gzip_data_without_compression_cut_short_are_noticed_too()
    {
        var bytes = Gzip(Whole, CompressionLevel.NoCompression);

        var (source, read) = Captures.Read(bytes[..(bytes.Length / 2)]);

        Assert.InRange(read.Frames.Count, 900, 1000);
        Assert.Equal(["compressed-cut-short 1"], Captures.Problems(source));
    }

    [Theory]
    [InlineData("gzip")]
    [InlineData("zstd")]
    public void A_cut_second_piece_costs_only_that_piece(string how)
    {
        byte[] bytes = [.. Compress(how, Whole), .. Compress(how, Build(100)).AsSpan()[..^5]];

        var (source, read) = Captures.Read(bytes);

        Assert.InRange(read.Frames.Count, 2000, 2100);
        Assert.Equal(["compressed-cut-short 1"], Captures.Problems(source));
    }

    [Theory]
    [InlineData("gzip")]
    [InlineData("zstd")]
    public void Damaged_compressed_data_give_what_was_readable_and_one_problem(string how)
    {
        var bytes = Compress(how, Whole);
        bytes.AsSpan(bytes.Length * 3 / 4, 60).Fill(0xFF);

        var (source, read) = Captures.Read(bytes);

        // The damage shows in the content first, perhaps in identifiers that cannot be, or in its checksum.
        Assert.InRange(read.Frames.Count, 1000, 1999);
        var kind = Assert.Single(source.Problems.All, problem => problem.Kind != AuditProblems.IdTooLarge).Kind;
        Assert.InRange(source.Problems.All.Where(problem => problem.Kind == AuditProblems.IdTooLarge).Sum(problem => problem.Count), 0, read.Frames.Count(frame => !frame.Id.Fits));
        Assert.True(kind == CaptureProblems.Damaged || kind == CaptureProblems.CompressionDamaged, kind.Code);
    }

    [Theory]
    [InlineData("gzip")]
    [InlineData("zstd")]
    public void A_head_of_compressed_data_that_cannot_be_is_told(string how)
    {
        var bytes = Compress(how, Whole);
        bytes.AsSpan(how == "gzip" ? 10 : 4, 40).Fill(0xFF);

        var failure = Assert.Throws<SourceException>(() => Captures.Read(bytes));

        Assert.Equal("test: the compressed data are damaged here and cannot be read further, before any content", failure.Message);
    }

    [Fact]
    public void Bytes_behind_gzip_data_are_told()
    {
        var (source, read) = Captures.Read([.. Gzip(Whole), .. new byte[500]]);

        Assert.Equal(2000, read.Frames.Count);
        Assert.Equal(["compressed-followed 1"], Captures.Problems(source));
    }

    [Fact]
    public void Two_layers_are_read_and_a_third_is_refused()
    {
        Assert.Equal(2000, Captures.Read(Gzip(Zstd(Whole))).Read.Frames.Count);
        Assert.Equal("pcapng in zstd in gzip", Captures.Read(Gzip(Zstd(Whole))).Source.Format);
        Assert.Equal(
            "test: is compressed more than 2 times over",
            Assert.Throws<SourceException>(() => Captures.Read(Gzip(Gzip(Zstd(Whole))))).Message);
    }

    [Fact]
    public void A_bomb_is_read_through_without_being_kept()
    {
        var section = new CaptureBuilder().Section().Bytes;
        var zeros = new byte[50_000_000];
        var bytes = Gzip([.. section, .. new CaptureBuilder().Block(99, [], front: 16_000_000).Bytes, .. zeros]);

        var before = GC.GetAllocatedBytesForCurrentThread();
        var (source, _) = Captures.Read(bytes);

        Assert.True(GC.GetAllocatedBytesForCurrentThread() - before < 2_000_000);
        Assert.Equal(["block-too-large 1", "capture-damaged 1"], Captures.Problems(source));
    }

    [Theory]
    [InlineData("gzip")]
    [InlineData("zstd")]
    public void Nothing_inside_compression_is_said(string how) =>
        Assert.Equal("test: has nothing inside its compression", Assert.Throws<SourceException>(() => Captures.Read(Compress(how, []))).Message);
}
