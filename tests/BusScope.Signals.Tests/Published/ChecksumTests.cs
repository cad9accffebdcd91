using System.Globalization;
using BusScope.Signals.Definitions;
using BusScope.Signals.Loading;
using BusScope.Signals.Plans;
using BusScope.Signals.Protection;
using BusScope.Signals.Tests.Plans;
using BusScope.TestKit;
using Xunit;

namespace BusScope.Signals.Tests.Published;

public class ChecksumTests
{
    // Parameters and check values on "123456789": the catalogue of parametrised CRC algorithms
    // (https://reveng.sourceforge.io/crc-catalogue/all.htm), from memory but for CRC-16/ARC and CRC-15/CAN, which were read.
    // Values on the other strings: AUTOSAR, Specification of CRC Routines, read in public test suites.
    public static TheoryData<string, int, string, string, bool, string, string, string> Crcs =>
        [.. PublishedTable.Rows("crc.csv").Select(row => (row[0], int.Parse(row[1]), row[2], row[3], bool.Parse(row[4]), row[6], row[7], row[8]))];

    // AUTOSAR, E2E Protocol Specification (document 849), tables 6.42, 6.51, 6.86, 6.99, 6.101, 6.102, read in public test
    // suites. The rows "ALT counter 1" and "LOW" are computed only; "P06" is from memory, computed equal.
    public static TheoryData<string, string, int, string> Profiles =>
        [.. PublishedTable.Rows("e2e.csv").Select(row => (row[0], row[1], int.Parse(row[3]), row[4]))];

    [Theory]
    [MemberData(nameof(Crcs))]
    public void A_crc_gives_its_published_value(string name, int width, string polynomial, string start, bool reflected, string final, string data, string expected)
    {
        var check = new CyclicCheck(new CrcParameters(width, Hex(polynomial), Hex(start), Hex(final), reflected));

        Assert.True(check.Of(Some.Bytes(data)) == Hex(expected), name);
    }

    [Theory]
    [InlineData("crc8-sae-j1850", 0x4B)]
    [InlineData("crc8-autosar", 0xDF)]
    [InlineData("crc16-ibm-3740", 0x29B1)]
    [InlineData("crc16-arc", 0xBB3D)]
    [InlineData("crc15-can", 0x059E)]
    [InlineData("crc17-can-fd", 0x04F03)]
    [InlineData("crc21-can-fd", 0x0ED841)]
    [InlineData("crc32-autosar", 0x1697D06A)]
    [InlineData("crc32-iso-hdlc", 0xCBF43926)]
    [InlineData("crc64-xz", 0x995DC9BBDF1939FA)]
    // The rest of the catalogue's check values: from memory.
    [InlineData("crc8-opensafety", 0x3E)]
    [InlineData("crc8-gsm-a", 0x37)]
    [InlineData("crc8-tech-3250", 0x97)]
    [InlineData("crc8-smbus", 0xF4)]
    [InlineData("crc8-i-432-1", 0xA1)]
    [InlineData("crc8-rohc", 0xD0)]
    [InlineData("crc8-nrsc-5", 0xF7)]
    [InlineData("crc16-xmodem", 0x31C3)]
    [InlineData("crc16-genibus", 0xD64E)]
    [InlineData("crc16-kermit", 0x2189)]
    [InlineData("crc16-ibm-sdlc", 0x906E)]
    [InlineData("crc16-modbus", 0x4B37)]
    [InlineData("crc32-bzip2", 0xFC891918)]
    [InlineData("crc32-mpeg-2", 0x0376E6E7)]
    [InlineData("crc32-iscsi", 0xE3069283)]
    public void A_named_crc_gives_its_check_value(string name, ulong expected) =>
        Assert.Equal(expected, new CyclicCheck(ChecksumCatalogue.Find(name)!.Crc!).Of("123456789"u8));

    [Theory]
    [MemberData(nameof(Profiles))]
    public void A_protected_payload_is_the_published_one(string profile, string id, int counter, string hex)
    {
        var expected = Some.Bytes(hex);
        var plan = new MessagePlan(ProfileMessage(profile, id, expected.Length));
        var payload = new byte[expected.Length];

        plan.Protect(counter, payload);

        Assert.Equal(Convert.ToHexString(expected), Convert.ToHexString(payload));
        Assert.True(plan.ChecksumHolds(expected));
        for (var bit = 0; bit < expected.Length * 8; bit++)
        {
            payload[bit / 8] ^= (byte)(1 << (bit % 8));
            Assert.False(plan.ChecksumHolds(payload), $"bit {bit}");
            payload[bit / 8] ^= (byte)(1 << (bit % 8));
        }
    }

    // Read at elektronik-keller.de, computed equal.
    [Fact]
    public void A_published_payload_has_its_checksum() =>
        Assert.Equal(0x6CUL, new CyclicCheck(new CrcParameters(8, 0x1D, 0xFF, 0xFF, false)).Of(Some.Bytes("00C0DFACAA0740")));

    // Rows of real recordings, projectgus/hyundai-kona-ev-can-logs (CC0-1.0).
    [Theory]
    [InlineData("00 80 00 80 22 02 00 34")]
    [InlineData("00 80 02 44 20 00 00 94")]
    public void Real_frames_have_their_checksum(string hex) => Assert.True(new MessagePlan(RealCaptureTests.J1850).ChecksumHolds(Some.Bytes(hex)));

    // Common practice of the trade; figures worked by hand.
    [Theory]
    [InlineData("sum8", "01 02 FF 00", "01 02 FF 02")]
    [InlineData("sum8-complement", "01 02 FF 00", "01 02 FF FD")]
    [InlineData("sum8-twos-complement", "01 02 FF 00", "01 02 FF FE")]
    [InlineData("xor8", "01 02 FF 00", "01 02 FF FC")]
    [InlineData("xor8-complement", "01 02 FF 00", "01 02 FF 03")]
    [InlineData("nibble-sum", "01 02 FF 00", "01 02 FF 21")]
    [InlineData("nibble-xor", "01 12 F3 00", "01 12 F3 0E")]
    public void A_plain_form_gives_the_sum_worked_by_hand(string name, string before, string after)
    {
        var algorithm = ChecksumCatalogue.Find(name)!;
        var definition = new ChecksumDefinition(algorithm.Family, algorithm.Bits == 4 ? Define.Little(3, 0, 4) : Define.Byte(3))
        {
            Over = [new ByteRange(0, 2)],
            Start = algorithm.Start,
            Final = algorithm.Final,
        };
        var payload = Some.Bytes(before);

        new MessagePlan(Define.Message() with { Checksum = definition }).Protect(0, payload);

        Assert.Equal(Convert.ToHexString(Some.Bytes(after)), Convert.ToHexString(payload));
    }

    [Fact]
    public void Bits_of_the_field_itself_count_as_zero_where_they_are_covered()
    {
        var plan = new MessagePlan(Define.Message() with
        {
            Checksum = new ChecksumDefinition(ChecksumFamily.NibbleXor, Define.Big(1, 7, 4)) { Over = [new ByteRange(0, 1)] },
        });

        Assert.True(plan.ChecksumHolds(Some.Bytes("12 74")));
        Assert.False(plan.ChecksumHolds(Some.Bytes("12 84")));
    }

    [Fact]
    public void A_data_id_goes_before_or_after_the_payload_or_by_the_counter()
    {
        var crc = new CrcParameters(8, 0x1D, 0xFF, 0xFF, false);
        var after = new ChecksumDefinition(ChecksumFamily.Crc, Define.Byte(3)) { Crc = crc, Over = [new ByteRange(0, 2)], DataIds = [0x1234], DataIdBytes = 2 };
        var before = after with { DataIdFirst = true };
        var byCounter = after with { DataIds = [.. Enumerable.Range(0x40, 16).Select(id => (ulong)id)], DataIdBytes = 1 };
        var check = new CyclicCheck(crc);

        Assert.Equal(check.Of([1, 2, 3, 0x34, 0x12]), Compute(after));
        Assert.Equal(check.Of([0x34, 0x12, 1, 2, 3]), Compute(before));
        Assert.Equal(check.Of([1, 2, 3, 0x43]), Compute(byCounter));

        static ulong Compute(ChecksumDefinition definition) =>
            ChecksumPlan.Compile(Define.Message() with { Checksum = definition, Counter = new CounterDefinition(Define.Little(2, 0, 4)) })!.Compute([1, 2, 3, 0]);
    }

    private static MessageDefinition ProfileMessage(string profile, string id, int length)
    {
        var offset = profile.Contains("offset 8", StringComparison.Ordinal) ? 8 : 0;
        ChecksumDefinition Of(ChecksumFamily family, BitField field) => new(family, field) { DataIds = id.StartsWith("0x", StringComparison.Ordinal) ? [Hex(id[2..])] : [] };
        var (checksum, counter) = profile[..3] switch
        {
            "P01" or "P11" => (Of(ChecksumFamily.E2EProfile1, Define.Byte(offset)) with
            {
                DataIdMode = profile.Contains("BOTH", StringComparison.Ordinal) ? DataIdMode.Both
                    : profile.Contains("ALT", StringComparison.Ordinal) ? DataIdMode.Alternating
                    : profile.Contains("LOW", StringComparison.Ordinal) ? DataIdMode.Low
                    : DataIdMode.Nibble,
            }, Define.Little(offset + 1, 0, 4)),
            "P02" or "P22" => (Of(ChecksumFamily.E2EProfile2, Define.Byte(offset)) with
            {
                DataIds = [.. Enumerable.Range(1, 16).Select(n => id.Contains("all 00", StringComparison.Ordinal) ? 0UL : (ulong)n)],
            }, Define.Little(offset + 1, 0, 4)),
            "P04" => (Of(ChecksumFamily.E2EProfile4, Define.Big(8, 7, 32)), Define.Big(2, 7, 16)),
            "P05" => (Of(ChecksumFamily.E2EProfile5, Define.Little(offset, 0, 16)), Define.Byte(offset + 2)),
            _ => (Of(ChecksumFamily.E2EProfile6, Define.Big(0, 7, 16)), Define.Byte(4)),
        };
        return Define.Message() with { Length = length, Checksum = checksum, Counter = new CounterDefinition(counter) };
    }

    private static ulong Hex(string text) => ulong.Parse(text, NumberStyles.HexNumber, CultureInfo.InvariantCulture);
}
