using BusScope.Signals.Loading;
using BusScope.Signals.Plans;
using BusScope.TestKit;
using Xunit;

namespace BusScope.Signals.Tests.Loading;

/// <summary>Counter and checksum from the file to the verdict on a frame.</summary>
public sealed class ProtectionTests
{
    private const string SixteenIds = "data-ids: [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16]";

    // Source of the E2E frames: AUTOSAR PRS_E2EProtocol, tables 6.42 to 6.102, as in vectors/published/e2e.csv (profile 6: from memory, computed equal).
    [Theory]
    [InlineData(8, "byte: 0, algorithm: e2e-p1, data-id: 0x123", "CC 00 00 00 00 00 00 00")]
    [InlineData(8, "byte: 0, algorithm: e2e-p1, data-id: 0x123, over: 1..7", "91 01 00 00 00 00 00 00")]
    [InlineData(8, "byte: 0, algorithm: e2e-p11, data-id: 0x123, data-id-mode: alternating", "CE 00 00 00 00 00 00 00")]
    [InlineData(8, "byte: 0, algorithm: e2e-p11, data-id: 0x123, data-id-mode: nibble", "77 11 00 00 00 00 00 00")]
    [InlineData(8, "byte: 0, algorithm: e2e-p2, " + SixteenIds, "98 02 00 00 00 00 00 00")]
    [InlineData(16, "bytes: 8..11, algorithm: e2e-p4, data-id: 0x0A0B0C0D", "00 10 00 00 0A 0B 0C 0D 86 2B 05 56 00 00 00 00")]
    [InlineData(8, "bytes: 0..1, algorithm: e2e-p5, data-id: 0x1234", "1C CA 00 00 00 00 00 00")]
    [InlineData(8, "bytes: 0..1, algorithm: e2e-p6, data-id: 0x1234", "B1 55 00 08 00 00 00 00")]
    // Source: AUTOSAR SWS CRC Routines, "F2 01 83", as in vectors/published/crc.csv.
    [InlineData(4, "byte: 3, algorithm: crc8-sae-j1850", "F2 01 83 37")]
    [InlineData(4, "byte: 0, algorithm: crc8-autosar", "C2 F2 01 83")]
    [InlineData(4, "byte: 3, polynomial: 0x1D, start: 0xFF, final: 0xFF", "F2 01 83 37")]
    [InlineData(5, "bytes: 3..4, order: big, algorithm: crc16-ibm-3740", "F2 01 83 D3 74")]
    [InlineData(5, "bytes: 3..4, order: little, algorithm: crc16-arc", "F2 01 83 E1 C2")]
    // By hand: 0x0F + 0xF0 + 0x11 = 0x110.
    [InlineData(4, "byte: 3, algorithm: sum8", "0F F0 11 10")]
    [InlineData(4, "byte: 3, algorithm: sum8-complement", "0F F0 11 EF")]
    [InlineData(4, "byte: 3, algorithm: sum8-twos-complement", "0F F0 11 F0")]
    [InlineData(5, "bytes: 3..4, order: big, algorithm: sum16", "0F F0 11 01 10")]
    [InlineData(4, "byte: 3, algorithm: xor8", "0F F0 11 EE")]
    // By hand: F + F + 1 + 1 = 0x20; F + F + 0xFF = 0x11D; F ^ F ^ 1 ^ 1 = 0.
    [InlineData(4, "byte: 3, algorithm: nibble-sum", "0F F0 11 20")]
    [InlineData(4, "bytes: 2..3, order: big, algorithm: nibble-sum, start: 0xFF", "0F F0 01 1D")]
    [InlineData(4, "byte: 3, bits: 0..3, algorithm: nibble-xor, over: 0..2", "0F F0 21 03")]
    public void A_checksum_written_in_the_file_holds_for_the_published_frame_and_no_other(int length, string checksum, string frame)
    {
        var result = DefinitionLoader.LoadText($"busscope: 1\nmessages:\n  Any:\n    id: 1\n    length: {length}\n    checksum: {{ {checksum} }}\n", "any.yaml");
        Assert.Equal("", DiagnosticText.Render(result.Diagnostics.Where(fault => fault.Code != "order-assumed"), result.Sources));
        var plan = new MessagePlan(result.Definitions!.Messages[0]);
        var payload = Some.Bytes(frame);

        Assert.True(plan.ChecksumHolds(payload));
        payload[LastByte(plan)] ^= 1;
        Assert.False(plan.ChecksumHolds(payload));

        static int LastByte(MessagePlan plan) => plan.Definition.Checksum!.Field.LastByte;
    }

    [Theory]
    [InlineData(8, "byte: 7, algorithm: xor8", "0..6")]
    [InlineData(8, "byte: 3, algorithm: xor8", "0..2 4..7")]
    [InlineData(8, "byte: 0, algorithm: xor8", "1..7")]
    [InlineData(8, "byte: 7, bits: 0..3, algorithm: nibble-xor", "0..7")]
    [InlineData(8, "byte: 7, algorithm: xor8, over: [5..6, 0]", "5..6 0..0")]
    public void A_checksum_covers_what_is_written_or_all_bytes_but_its_own(int length, string checksum, string covers)
    {
        var definitions = DefinitionLoader.LoadText($"busscope: 1\nmessages:\n  Any:\n    id: 1\n    length: {length}\n    checksum: {{ {checksum} }}\n", "any.yaml").Definitions!;

        Assert.Equal(covers, string.Join(' ', definitions.Messages[0].Checksum!.Over.Select(range => $"{range.From}..{range.To}")));
    }

    [Theory]
    [InlineData("bytes: 4..7, algorithm: e2e-p4, data-id: 1", "no room")]
    [InlineData("bytes: 6..7, algorithm: e2e-p6, data-id: 1", "no room")]
    [InlineData("byte: 7, algorithm: e2e-p1, data-id: 1", "no room")]
    [InlineData("lsb: 0.4, length: 16, order: little, algorithm: e2e-p5, data-id: 1", "whole bytes")]
    [InlineData("byte: 0, algorithm: e2e-p1, data-id: 1, over: 1..6", "says otherwise")]
    public void A_profile_that_has_no_room_or_no_choice_is_told(string checksum, string message)
    {
        var result = DefinitionLoader.LoadText($"busscope: 1\nmessages:\n  Any:\n    id: 1\n    length: 8\n    checksum: {{ {checksum} }}\n", "any.yaml");

        Assert.Contains(result.Diagnostics, fault => fault.Message.Contains(message, StringComparison.Ordinal));
        Assert.Null(result.Definitions);
    }
}
