using BusScope.Frames;
using BusScope.TestKit;
using Xunit;
using static BusScope.TestKit.CaptureBuilder;

namespace BusScope.Transport.Tests;

/// <summary>The record of one frame: LINKTYPE_CAN_SOCKETCAN (tcpdump.org/linktypes), include/uapi/linux/can.h.</summary>
public class RecordTests
{
    private static (IReadOnlyList<string> Lines, IReadOnlyList<string> Problems) Read(byte[] record, int? original = null)
    {
        var (source, read) = Captures.Read(new CaptureBuilder().Section().Interface("x").Packet(0, 0, record, original));
        return ([.. read.Lines.Select(line => line["0 bus 0 ".Length..])], Captures.Problems(source));
    }

    [Fact]
    public void A_record_of_72_bytes_is_a_flexible_data_rate_frame_even_when_the_flag_is_left_out() =>
        Assert.Equal(["0x456 [12] FlexibleDataRate Unknown raw 0 000102030405060708090A0B"], Read(Record(0x456, "000102030405060708090A0B", size: 72)).Lines);

    [Fact]
    public void A_short_record_with_the_flag_is_a_flexible_data_rate_frame() =>
        Assert.Equal(["0x456 [2] BitRateSwitch, FlexibleDataRate Unknown raw 0 0102"], Read(Record(0x456, "0102", flags: 5, size: 10)).Lines);

    [Fact]
    public void A_record_without_padding_is_read()
    {
        var (lines, problems) = Read(Record(0x456, "010203", size: 11));

        Assert.Equal(["0x456 [3] None Unknown raw 0 010203"], lines);
        Assert.Empty(problems);
    }

    [Theory]
    [InlineData(13, 13)]
    [InlineData(8, 0)]
    [InlineData(200, 0)]
    public void The_raw_length_code_is_kept_where_it_can_be_one(int code, int expected) =>
        Assert.Equal([$"0x555 [8] None Unknown raw {expected} 0011223344556677"], Read(Record(0x555, "0011223344556677", rawCode: code)).Lines);

    [Fact]
    public void A_raw_length_code_in_the_place_of_the_length_is_kept_and_counted()
    {
        var (lines, problems) = Read(Record(0x555, "0011223344556677", length: 12));

        Assert.Equal(["0x555 [8] None Unknown raw 12 0011223344556677"], lines);
        Assert.Equal(["frame-length-impossible 1"], problems);
    }

    [Theory]
    [InlineData(16, 16, 0)]
    [InlineData(65, 72, 0)]
    [InlineData(100, 16, 0)]
    [InlineData(127, 72, 4)]
    public void Lengths_that_cannot_be_are_counted_and_give_no_invented_bytes(int length, int size, int flags)
    {
        var (lines, problems) = Read(Record(0x555, "0011", length: length, size: size, flags: flags));

        Assert.Empty(lines);
        Assert.Contains("frame-length-impossible 1", problems);
    }

    [Fact]
    public void A_flexible_data_rate_length_that_no_code_says_is_kept_and_counted()
    {
        var (lines, problems) = Read(Record(0x555, "000102030405060708", flags: 4));

        Assert.Equal(["0x555 [9] FlexibleDataRate Unknown raw 0 000102030405060708"], lines);
        Assert.Equal(["frame-length-impossible 1"], problems);
    }

    [Theory]
    [InlineData(0x60000001, 0)]
    [InlineData(0x40000001, 4)]
    [InlineData(0x00000001, 1)]
    [InlineData(0x00000001, 0x14)]
    public void Marks_that_cannot_stand_together_are_counted_and_the_frame_is_kept(uint word, int flags)
    {
        var (lines, problems) = Read(Record(word, "01", flags: flags));

        Assert.Single(lines);
        Assert.Equal(["frame-flags-impossible 1"], problems);
    }

    [Theory]
    [InlineData(0x800u)]
    [InlineData(0x1FFF_FFFFu)]
    public void An_identifier_too_large_for_its_format_is_counted_and_kept_as_it_came(uint id)
    {
        var (source, read) = Captures.Read(new CaptureBuilder().Section().Interface("x").Packet(0, 0, Record(0x7FF, "01")).Packet(0, 1, Record(id, "01")));

        Assert.Equal(id, read.Frames[1].Id.Value);
        Assert.False(read.Frames[1].Id.IsExtended);
        var problem = Assert.Single(source.Problems.All);
        Assert.Equal(("frame-id-too-large", 1L, 2L), (problem.Kind.Code, problem.Count, problem.First.FrameNumber!.Value));
    }

    [Fact]
    public void The_classes_of_an_error_report_are_no_identifier_that_is_too_large()
    {
        var (source, read) = Captures.Read(new CaptureBuilder().Section().Interface("x").Packet(0, 0, Record(0x2000_1000, "0000000000000000")));

        Assert.True(read.Frames[0].IsErrorReport);
        Assert.Empty(source.Problems.All);
    }

    [Theory]
    [InlineData(7)]
    [InlineData(12)]
    [InlineData(0)]
    public void A_frame_that_was_recorded_in_part_is_counted(int recorded)
    {
        var (lines, problems) = Read(Record(0x123, "0011223344556677")[..recorded], original: 16);

        Assert.Empty(lines);
        Assert.Equal(["frame-cut-short 1"], problems);
    }

    [Fact]
    public void A_recorder_that_cut_only_padding_lost_nothing() =>
        Assert.Equal(["0x123 [12] FlexibleDataRate Unknown raw 0 000102030405060708090A0B"], Read(Record(0x123, "000102030405060708090A0B", size: 72)[..32], original: 72).Lines);

    [Fact]
    public void A_longer_kind_of_frame_is_counted_and_not_decoded()
    {
        var (lines, problems) = Read([0, 0, 0, 5, 0x80, 0, 3, 0, 0, 0, 0, 0, 1, 2, 3, 4]);

        Assert.Empty(lines);
        Assert.Equal(["can-xl 1"], problems);
    }

    [Fact]
    public void A_remote_frame_keeps_the_length_asked_for_and_nothing_else()
    {
        var (_, read) = Captures.Read(new CaptureBuilder().Section().Interface("x").Packet(0, 0, Record(0x40000321, "0102030405060708")));

        Assert.Equal((8, true, 0ul), (read.Frames[0].Length, read.Frames[0].IsRemote, read.Frames[0].FirstEight));
        Assert.Equal(FrameKinds.Remote, read.Frames[0].Kinds);
    }
}
