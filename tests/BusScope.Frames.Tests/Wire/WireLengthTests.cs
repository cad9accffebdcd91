using System.Globalization;
using System.Text;
using BusScope.Frames.Wire;
using BusScope.TestKit;
using CsCheck;
using Xunit;

namespace BusScope.Frames.Tests.Wire;

public class WireLengthTests
{
    private static readonly int[] flexibleLengths = [0, 1, 2, 3, 4, 5, 6, 7, 8, 12, 16, 20, 24, 32, 48, 64];

    // frame_length_worst_case.csv: fields from the Linux kernel's length.h; worst case after Davis, Burns, Bril, Lukkien 2007, its 29-bit formula from memory.
    [Fact]
    public void Unstuffed_and_worst_lengths_are_the_published_ones()
    {
        var rows = File.ReadLines(RepoFiles.Path("tests", "BusScope.Frames.Tests", "Published", "frame_length_worst_case.csv")).Skip(1)
            .Select(r => r.Split(',').Select(c => int.Parse(c, CultureInfo.InvariantCulture)).ToArray()).ToList();

        Assert.Equal(9, rows.Count);
        Assert.All(rows, row => Assert.Equal(
            row[1..],
            (int[])[
                WireLength.Unstuffed(row[0], false), WireLength.WorstCase(row[0], false), 55 + (10 * row[0]),
                WireLength.Unstuffed(row[0], true), WireLength.WorstCase(row[0], true), 80 + (10 * row[0]),
            ]));
    }

    // Worked frames: CRC and stuff bits computed apart from this code; the 122 bits of the second were measured by an interface.
    [Theory]
    [InlineData("014", "01", 0x7753, 3, 58)]
    [InlineData("400", "0C 02 A0 04 04 04 00 00", 0x2651, 11, 122)]
    [InlineData("7DF", "02 01 0C 00 00 00 00 00", 0x5649, 12, 123)]
    [InlineData("123", "00 CA 22 FF 55 66 AA DF", 0x7B4D, 4, 115)]
    [InlineData("18FEF100", "00 00 00 00 00 00 00 00", 0x71B0, 16, 147)]
    public void Worked_frames_have_the_published_length(string id, string hex, int crc, int stuffBits, int length)
    {
        var frame = Some.Frame(uint.Parse(id, NumberStyles.HexNumber, CultureInfo.InvariantCulture), hex, extended: id.Length == 8);

        Assert.Equal(new WireBits(length, 0), WireLength.Of(frame));
        Assert.Equal(stuffBits, length - WireLength.Unstuffed(frame.Length, frame.Id.IsExtended));
        Assert.Equal((ulong)crc, BitModel.Crc(BitModel.ClassicContent(frame.Id, false, frame.Length, frame.Data.ToArray()), 15, 0x4599, 0));
    }

    [Fact]
    public void The_model_gives_the_worked_bit_stream()
    {
        var bits = BitModel.Classic(new CanId(0x14, false), false, 1, [1]);

        Assert.Equal("000001001010000010001000001001111011101010011" + "101" + "1111111" + "111", Text(bits));
    }

    // crc.csv: the catalogue's check values over "123456789", all registers starting at zero.
    [Fact]
    public void Checksums_have_the_catalogue_values()
    {
        var bits = Encoding.ASCII.GetBytes("123456789").SelectMany(b => BitModel.Number(b, 8)).ToList();

        Assert.Equal(0x059EUL, BitModel.Crc(bits, 15, 0x4599, 0));
        Assert.Equal(0x04F03UL, BitModel.Crc(bits, 17, 0x1685B, 0));
        Assert.Equal(0x0ED841UL, BitModel.Crc(bits, 21, 0x102899, 0));
        Assert.Equal(0x059E, Crc15.Of("123456789"u8));
    }

    [Fact]
    public void Every_classic_frame_has_the_length_of_its_bits_one_by_one() =>
        (from length in Gen.Int[0, 8]
         from data in Gen.OneOf(Gen.Byte, OneOf<byte>(0, 0xFF, 0xF8, 0x07)).Array[length]
         from value in Gen.OneOf(Gen.UInt[0, CanId.LargestExtended], OneOf(0u, 0x7FFu, 0x1FFF_FFFFu, 0x7F0u))
         from extended in Gen.Bool
         from remote in Gen.Bool
         from code in Gen.Int[8, 15]
         select (data, new CanId(extended ? value : value & 0x7FF, extended), remote, code)).Sample((data, id, remote, code) =>
        {
            var frame = default(Frame);
            frame.Set(default, 0, id, remote ? FrameKinds.Remote : FrameKinds.None, data);
            frame.RawLengthCode = data.Length == 8 ? (byte)code : (byte)0;

            var bits = WireLength.Of(frame);

            Assert.Equal(BitModel.Classic(id, remote, data.Length == 8 ? code : data.Length, data).Count, bits.Total);
            Assert.InRange(bits.Total, WireLength.Unstuffed(remote ? 0 : data.Length, id.IsExtended), WireLength.WorstCase(remote ? 0 : data.Length, id.IsExtended));
        }, iter: 20_000);

    [Fact]
    public void Every_FD_frame_has_the_length_of_its_bits_one_by_one() =>
        (from length in OneOf(flexibleLengths)
         from data in Gen.OneOf(Gen.Byte, OneOf<byte>(0, 0xFF, 0xF8, 0x07)).Array[length]
         from value in Gen.OneOf(Gen.UInt[0, CanId.LargestExtended], OneOf(0u, 0x7FFu, 0x1FFF_FFFFu, 0x7F0u))
         from extended in Gen.Bool
         from switched in Gen.Bool
         from passive in Gen.Bool
         select (data, new CanId(extended ? value : value & 0x7FF, extended), switched, passive)).Sample((data, id, switched, passive) =>
        {
            var frame = default(Frame);
            var kinds = FrameKinds.FlexibleDataRate | (switched ? FrameKinds.BitRateSwitch : 0) | (passive ? FrameKinds.ErrorStateIndicator : 0);
            frame.Set(default, 0, id, kinds, data);

            var (bits, dataBits) = BitModel.Flexible(id, switched, passive, data);

            Assert.Equal(new WireBits(bits.Count - dataBits, dataBits), WireLength.Of(frame));
        }, iter: 20_000);

    // Linux include/linux/can/length.h: header 22 bits, stuff count 4, CRC 17 or 21, fixed stuff bits 6 or 7, trailer 10, intermission 3.
    [Theory]
    [InlineData("55", 22 + 8 + 4 + 17 + 6 + 10 + 3)]
    [InlineData("5555555555555555555555555555555555555555", 22 + 160 + 4 + 21 + 7 + 10 + 3)]
    public void An_FD_frame_without_dynamic_stuff_bits_has_the_sum_of_its_fields(string hex, int expected) =>
        Assert.Equal(expected, WireLength.Of(Some.Frame(0x2AA, hex, kinds: FrameKinds.FlexibleDataRate | FrameKinds.ErrorStateIndicator)).Total);

    [Fact]
    public void An_error_report_takes_no_bits() => Assert.Equal(default, WireLength.Of(Some.Frame(4, "00", kinds: FrameKinds.ErrorReport)));

    [Fact]
    public void Bits_take_their_time_at_either_rate()
    {
        Assert.Equal(270_000, new WireBits(135, 0).Duration(500_000).Nanoseconds);
        Assert.Equal(30_000 + 100_000, new WireBits(15, 200).Duration(500_000, 2_000_000).Nanoseconds);
        Assert.Equal(430_000, new WireBits(15, 200).Duration(500_000).Nanoseconds);
    }

    private static Gen<T> OneOf<T>(params T[] values) => Gen.Int[0, values.Length - 1].Select(i => values[i]);

    private static string Text(List<bool> bits) => string.Concat(bits.Select(b => b ? '1' : '0'));
}
