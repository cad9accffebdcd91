using System.Runtime.CompilerServices;

namespace BusScope.Frames.Wire;

/// <summary>
/// The exact length of a frame on the wire in bits, stuff bits counted from its content: SOF to the end of frame and the three
/// bits of interframe space behind it (ISO 11898-1, frame formats; the fields also in the Linux kernel, include/linux/can/length.h).
/// What an error frame or an overload frame adds is not known from a recording and not counted.
/// </summary>
public static class WireLength
{
    /// <summary>Bits between two frames (intermission), included in every length here.</summary>
    public const int InterframeSpace = 3;

    // CRC delimiter, ACK slot, ACK delimiter, seven bits end of frame.
    private const int Trailer = 10;
    private const int BaseHeader = 19;
    private const int ExtendedHeader = 39;
    private const int Crc15Bits = 15;

    // CAN FD: up to and with BRS; then ESI and DLC.
    private const int FlexibleBaseToSwitch = 17;
    private const int FlexibleExtendedToSwitch = 36;
    private const int FlexibleRest = 5;

    // Stuff count of four bits and CRC of 17 or 21, with a fixed stuff bit in front and one after every fourth bit.
    private const int StuffCountAndCrc17 = 4 + 17 + 6;
    private const int StuffCountAndCrc21 = 4 + 21 + 7;
    private const int LongestWithCrc17 = 16;

    /// <summary>The length of a frame with its interframe space. An error report is no frame and has none.</summary>
    /// <param name="frame">The frame. A Classical CAN frame that claims more than 8 bytes counts 8.</param>
    public static WireBits Of(in Frame frame) =>
        frame.IsErrorReport ? default
        : frame.IsFlexibleDataRate ? Flexible(frame)
        : new WireBits(Classic(frame), 0);

    /// <summary>The length of a Classical CAN frame without a single stuff bit, with interframe space.</summary>
    public static int Unstuffed(int dataBytes, bool isExtended) => (isExtended ? ExtendedHeader : BaseHeader) + (8 * dataBytes) + Crc15Bits + Trailer + InterframeSpace;

    /// <summary>
    /// The most bits that a Classical CAN frame can take, with interframe space: 55 + 10 n and 80 + 10 n for n bytes
    /// (Davis, Burns, Bril, Lukkien 2007, Real-Time Systems 35:239-272).
    /// </summary>
    public static int WorstCase(int dataBytes, bool isExtended)
    {
        var stuffed = (isExtended ? ExtendedHeader : BaseHeader) + (8 * dataBytes) + Crc15Bits;
        return Unstuffed(dataBytes, isExtended) + ((stuffed - 1) / 4);
    }

    private static int Classic(in Frame frame)
    {
        var length = Math.Min(frame.Length, (byte)Payload.ClassicCapacity);
        var dataLength = frame.IsRemote ? 0 : length;
        var code = frame.RawLengthCode != 0 ? frame.RawLengthCode : length;
        var remote = frame.IsRemote ? 1u : 0u;
        var id = frame.Id;
        var (state, stuffed, crc) = (BitStuffing.Start, 0, 0);
        int header;
        if (id.IsExtended)
        {
            // SOF, 11 bits, SRR, IDE | 18 bits, RTR, r1, r0, DLC. The two recessive bits SRR and IDE are 3 << 25 below.
            header = ExtendedHeader;
            var word = ((ulong)(id.Value >> 18) << 27) | (3UL << 25) | ((ulong)(id.Value & 0x3FFFF) << 7) | (remote << 6) | code;
            Header(word, filling: 1UL << 39, bytes: 5, dataLength, ref state, ref stuffed, ref crc);
        }
        else
        {
            // SOF, 11 bits, RTR, IDE, r0, DLC, with five bits of filling in front.
            header = BaseHeader;
            var word = ((ulong)(id.Value & CanId.LargestBase) << 7) | (remote << 6) | code;
            Header(word, filling: 0b10101UL << 19, bytes: 3, dataLength, ref state, ref stuffed, ref crc);
        }

        var data = frame.FirstEight;
        for (var after = dataLength - 1; after >= 0; after--)
        {
            crc ^= Crc15.Part((byte)data, after);
            state = BitStuffing.NextByte(state, (byte)data, ref stuffed);
            data >>= 8;
        }

        // Fifteen bits and one of filling, unlike the last, so that it never completes a run.
        var end = (crc << 1) | (~crc & 1);
        state = BitStuffing.NextByte(state, (byte)(end >> 8), ref stuffed);
        _ = BitStuffing.NextByte(state, (byte)end, ref stuffed);
        return header + (8 * dataLength) + Crc15Bits + stuffed + Trailer + InterframeSpace;
    }

    // The filling is for the stuffing alone: the checksum takes zeros in front.
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static void Header(ulong word, ulong filling, int bytes, int dataLength, ref int state, ref int stuffed, ref int crc)
    {
        for (var shift = 8 * (bytes - 1); shift >= 0; shift -= 8)
        {
            crc ^= Crc15.Part((byte)(word >> shift), dataLength + (shift >> 3));
            state = BitStuffing.NextByte(state, (byte)((word | filling) >> shift), ref stuffed);
        }
    }

    private static WireBits Flexible(in Frame frame)
    {
        var data = frame.Data;
        var isSwitched = (frame.Kinds & FrameKinds.BitRateSwitch) != 0;
        var isPassive = (frame.Kinds & FrameKinds.ErrorStateIndicator) != 0;
        var id = frame.Id;
        var (state, stuffed) = (BitStuffing.Start, 0);
        int toSwitch;
        ulong word;
        int bytes;
        if (id.IsExtended)
        {
            // SOF, 11 bits, SRR, IDE | 18 bits, RRS, FDF, res, BRS, with four bits of filling in front.
            (toSwitch, bytes) = (FlexibleExtendedToSwitch, 5);
            word = (0b0101UL << 36) | ((ulong)(id.Value >> 18) << 24) | (3UL << 22) | ((ulong)(id.Value & 0x3FFFF) << 4) | 0b0100;
        }
        else
        {
            // SOF, 11 bits, RRS, IDE, FDF, res, BRS, with seven bits of filling in front.
            (toSwitch, bytes) = (FlexibleBaseToSwitch, 3);
            word = (0b1010101UL << 17) | ((ulong)(id.Value & CanId.LargestBase) << 5) | 0b00100;
        }

        word |= isSwitched ? 1u : 0u;
        for (var shift = 8 * (bytes - 1); shift >= 0; shift -= 8)
        {
            state = BitStuffing.NextByte(state, (byte)(word >> shift), ref stuffed);
        }

        var code = LengthCode(data.Length);
        var nominal = toSwitch + stuffed;
        stuffed = 0;
        state = BitStuffing.NextFive(state, (isPassive ? 16 : 0) | code, ref stuffed);
        foreach (var value in data)
        {
            state = BitStuffing.NextByte(state, value, ref stuffed);
        }

        // Where the content ends with five equal bits, the fixed stuff bit before the stuff count is the stuff bit: not two in a row.
        if (BitStuffing.EndsStuffed(state, (data.Length == 0 ? code : data[^1]) & 1))
        {
            stuffed--;
        }

        var rest = FlexibleRest + (8 * data.Length) + stuffed + (data.Length <= LongestWithCrc17 ? StuffCountAndCrc17 : StuffCountAndCrc21);

        // The CRC delimiter ends the data phase; see WireBits.Data.
        return isSwitched
            ? new WireBits(nominal + Trailer - 1 + InterframeSpace, rest + 1)
            : new WireBits(nominal + rest + Trailer + InterframeSpace, 0);
    }

    // ISO 11898-1, data length code of FD frames; a length between two codes is sent with the larger one.
    private static int LengthCode(int length) => length switch
    {
        <= 8 => length,
        <= 24 => 9 + ((length - 9) / 4),
        <= 32 => 13,
        <= 48 => 14,
        _ => 15,
    };
}
