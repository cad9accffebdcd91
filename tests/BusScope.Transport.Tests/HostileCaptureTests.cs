using BusScope.TestKit;
using Xunit;
using static BusScope.TestKit.CaptureBuilder;

namespace BusScope.Transport.Tests;

public class HostileCaptureTests
{
    private static CaptureBuilder Good() => new CaptureBuilder().Section().Interface("x").Packet(0, 1, Record(1, "01"));

    [Theory]
    [InlineData(0L, "a block cannot have 0 bytes")]
    [InlineData(8L, "a block cannot have 8 bytes")]
    [InlineData(11L, "a block cannot have 11 bytes")]
    [InlineData(45L, "a block cannot have 45 bytes")]
    [InlineData(0xFFFF_FFFCL, "a block cannot have 4294967292 bytes")]
    [InlineData(0xFFFF_FFFFL, "a block cannot have 4294967295 bytes")]
    public void A_block_length_that_cannot_be_ends_the_reading_with_one_problem_and_its_place(long length, string detail)
    {
        var good = Good();
        var at = good.Length;

        var (source, read) = Captures.Read(good.Block(6, new byte[36], front: length).Packet(0, 2, Record(2, "02")));

        Assert.Single(read.Frames);
        var problem = Assert.Single(source.Problems.All);
        Assert.Equal(("capture-damaged", 1L, (long?)at, detail), (problem.Kind.Code, problem.Count, problem.First.ByteOffset, problem.Detail));
    }

    [Fact]
    public void Lengths_that_disagree_end_the_reading_with_both_named()
    {
        var (source, read) = Captures.Read(Good().Block(6, new byte[36], behind: 44));

        Assert.Single(read.Frames);
        Assert.Equal("the block's length is 48 in front and 44 behind", Assert.Single(source.Problems.All).Detail);
    }

    [Fact]
    public void A_large_block_is_passed_over_without_being_kept()
    {
        var before = GC.GetAllocatedBytesForCurrentThread();
        var bytes = Good().Block(99, new byte[5_000_000]).Packet(0, 2, Record(2, "02")).Bytes;
        var building = GC.GetAllocatedBytesForCurrentThread() - before;

        var (source, read) = Captures.Read(bytes);

        Assert.Equal(2, read.Frames.Count);
        Assert.Equal(["block-too-large 1"], Captures.Problems(source));
        Assert.True(GC.GetAllocatedBytesForCurrentThread() - before - building < 2_000_000);
    }

    [Fact]
    public void A_large_block_that_is_cut_short_is_told()
    {
        var (source, read) = Captures.Read(Good().Block(99, new byte[1000], front: 8_000_000));

        Assert.Single(read.Frames);
        Assert.Equal(["block-too-large 1", "capture-cut-short 1"], Captures.Problems(source));
    }

    [Fact]
    public void A_million_interfaces_are_counted_and_only_so_many_kept()
    {
        var one = new CaptureBuilder().Interface().Bytes;
        var many = new byte[1_000_000 * one.Length];
        for (var i = 0; i < 1_000_000; i++)
        {
            one.CopyTo(many, i * one.Length);
        }

        var bytes = new CaptureBuilder().Section().Raw(many).Packet(4095, 1, Record(1, "")).Packet(999_999, 1, Record(1, "")).Bytes;
        var (source, read) = Captures.Read(bytes);

        Assert.Equal(4096, source.Buses.Count);
        Assert.Equal(4095, Assert.Single(read.Frames).Bus);
        Assert.Equal(["buses-too-many 995904", "packet-of-unknown-interface 1"], Captures.Problems(source));
    }

    [Fact]
    public void A_packet_that_reaches_beyond_its_block_is_counted_and_skipped()
    {
        var b = Good();
        b.Block(6, [.. b.U32(0), .. b.U32(0), .. b.U32(0), .. b.U32(uint.MaxValue), .. b.U32(16), .. Record(1, "")])
            .Block(6, new byte[16]).Block(3, []).Block(3, b.U32(100)).Block(2, new byte[8]).Block(1, new byte[4]).Block(5, new byte[8])
            .Packet(0, 2, Record(2, "02"));

        var (source, read) = Captures.Read(b);

        Assert.Equal(2, read.Frames.Count);
        Assert.Equal(["block-malformed 7"], Captures.Problems(source));
    }

    [Fact]
    public void An_option_that_reaches_beyond_its_block_is_counted_and_the_frame_kept()
    {
        var b = Good();
        b.Packet(0, 2, Record(2, "02"), null, [.. b.U16(1), .. b.U16(60000), 65, 66, 67, 68]);

        var (source, read) = Captures.Read(b);

        Assert.Equal(2, read.Frames.Count);
        Assert.Empty(read.Notes);
        Assert.Equal(["block-malformed 1"], Captures.Problems(source));
    }

    [Theory]
    [InlineData(2, 28u, "version 2 of the format is not known")]
    [InlineData(1, 24u, "a section header cannot have 24 bytes")]
    public void A_section_of_another_version_or_size_ends_the_reading(int major, uint length, string detail)
    {
        var b = Good();
        b.Block(0x0A0D0D0A, [.. b.U32(0x1A2B3C4D), .. b.U16(major), .. b.U16(0), .. b.U64(0)], front: length);

        var (source, read) = Captures.Read(b);

        Assert.Single(read.Frames);
        Assert.Equal(detail, Assert.Single(source.Problems.All).Detail);
    }

    [Fact]
    public void A_section_without_the_mark_of_its_order_ends_the_reading()
    {
        var (source, read) = Captures.Read(Good().Block(0x0A0D0D0A, new byte[16]));

        Assert.Single(read.Frames);
        Assert.Equal(["capture-damaged 1"], Captures.Problems(source));
    }

    [Fact]
    public void Comments_without_end_are_kept_up_to_a_limit_and_counted()
    {
        var b = new CaptureBuilder();
        var comments = Enumerable.Range(0, 3).Select(i => b.Option(1, new string((char)('a' + i), 60_000))).ToArray();
        for (var i = 0; i < 10; i++)
        {
            b.Section(comments).Interface("x", options: comments);
        }

        var (source, _) = Captures.Read(b);

        Assert.True(source.Comments.Concat(source.Buses[0].Comments).Sum(c => c.Length) < 1_100_000);
        Assert.Contains("comments-left-out", Captures.Problems(source).Select(p => p.Split(' ')[0]));
    }

    [Fact]
    public void A_record_of_pcap_that_cannot_be_ends_the_reading()
    {
        var b = new CaptureBuilder().PcapHeader().PcapRecord(1, 0, Record(1, "01"));
        var at = b.Length;

        var (source, read) = Captures.Read(b.PcapRecord(1, 0, Record(1, "01"), recorded: 0x7FFF_FFFF).PcapRecord(1, 0, Record(1, "01")));

        Assert.Single(read.Frames);
        Assert.Equal(("a packet cannot have 2147483647 bytes", (long?)at), (source.Problems.All[0].Detail, source.Problems.All[0].First.ByteOffset));
    }
}
