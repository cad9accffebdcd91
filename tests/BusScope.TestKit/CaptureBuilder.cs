using System.Buffers.Binary;
using System.Text;

namespace BusScope.TestKit;

/// <summary>
/// Writes captures byte by byte, as the specifications of pcapng and pcap (draft-ietf-opsawg-pcapng, draft-ietf-opsawg-pcap) have
/// them, in either byte order and with whatever fault a test wants. It shares nothing with the program's own reader and writer.
/// </summary>
public sealed class CaptureBuilder(bool big = false)
{
    private readonly List<byte> bytes = [];

    /// <summary>The link type of CAN records (tcpdump.org/linktypes).</summary>
    public const ushort Can = 227;

    /// <summary>Everything so far.</summary>
    public byte[] Bytes => [.. bytes];

    /// <summary>How many bytes there are so far.</summary>
    public int Length => bytes.Count;

    /// <summary>A number of 16 bits in the builder's order.</summary>
    public byte[] U16(int value)
    {
        var result = BitConverter.GetBytes((ushort)value);
        return big == BitConverter.IsLittleEndian ? [.. result.Reverse()] : result;
    }

    /// <summary>A number of 32 bits in the builder's order.</summary>
    public byte[] U32(long value)
    {
        var result = BitConverter.GetBytes((uint)value);
        return big == BitConverter.IsLittleEndian ? [.. result.Reverse()] : result;
    }

    /// <summary>A number of 64 bits in the builder's order.</summary>
    public byte[] U64(ulong value)
    {
        var result = BitConverter.GetBytes(value);
        return big == BitConverter.IsLittleEndian ? [.. result.Reverse()] : result;
    }

    /// <summary>Appends bytes as they are.</summary>
    public CaptureBuilder Raw(params ReadOnlySpan<byte> raw)
    {
        bytes.AddRange(raw);
        return this;
    }

    /// <summary>Appends a block of pcapng; the lengths in front and behind can be falsified.</summary>
    public CaptureBuilder Block(uint type, byte[] body, long? front = null, long? behind = null)
    {
        var length = 12 + body.Length;
        return Raw(U32(type)).Raw(U32(front ?? length)).Raw(body).Raw(U32(behind ?? length));
    }

    /// <summary>Appends a section header.</summary>
    public CaptureBuilder Section(params byte[][] options) =>
        Block(0x0A0D0D0A, [.. U32(0x1A2B3C4D), .. U16(1), .. U16(0), .. U64(ulong.MaxValue), .. Options(options)]);

    /// <summary>Appends an interface description.</summary>
    public CaptureBuilder Interface(string? name = null, int linkType = Can, uint snapLength = 0, params byte[][] options)
    {
        byte[][] all = name is null ? options : [Option(2, name), .. options];
        return Block(1, [.. U16(linkType), .. U16(0), .. U32(snapLength), .. Options(all)]);
    }

    /// <summary>Appends an enhanced packet.</summary>
    public CaptureBuilder Packet(int number, ulong ticks, byte[] data, int? original = null, params byte[][] options) =>
        Block(6, [.. U32(number), .. U32((long)(ticks >> 32)), .. U32((uint)ticks), .. U32(data.Length), .. U32(original ?? data.Length), .. Pad(data), .. Options(options)]);

    /// <summary>Appends an obsolete packet.</summary>
    public CaptureBuilder ObsoletePacket(int number, int drops, ulong ticks, byte[] data, params byte[][] options) =>
        Block(2, [.. U16(number), .. U16(drops), .. U32((long)(ticks >> 32)), .. U32((uint)ticks), .. U32(data.Length), .. U32(data.Length), .. Pad(data), .. Options(options)]);

    /// <summary>Appends a simple packet.</summary>
    public CaptureBuilder SimplePacket(byte[] data, int? original = null) => Block(3, [.. U32(original ?? data.Length), .. Pad(data)]);

    /// <summary>Appends interface statistics.</summary>
    public CaptureBuilder Statistics(int number, params byte[][] options) => Block(5, [.. U32(number), .. U32(0), .. U32(0), .. Options(options)]);

    /// <summary>Appends the header of a pcap file.</summary>
    public CaptureBuilder PcapHeader(bool nanoseconds = false, int linkType = Can, uint snapLength = 262144, int major = 2) =>
        Raw(U32(nanoseconds ? 0xA1B23C4D : 0xA1B2C3D4)).Raw(U16(major)).Raw(U16(4)).Raw(U32(0)).Raw(U32(0)).Raw(U32(snapLength)).Raw(U32(linkType));

    /// <summary>Appends a record of a pcap file.</summary>
    public CaptureBuilder PcapRecord(long seconds, long fraction, byte[] data, long? recorded = null, long? original = null) =>
        Raw(U32(seconds)).Raw(U32(fraction)).Raw(U32(recorded ?? data.Length)).Raw(U32(original ?? data.Length)).Raw(data);

    /// <summary>An option that is text.</summary>
    public byte[] Option(int code, string text) => Option(code, Encoding.UTF8.GetBytes(text));

    /// <summary>An option of any bytes.</summary>
    public byte[] Option(int code, byte[] value) => [.. U16(code), .. U16(value.Length), .. Pad(value)];

    /// <summary>The record of a frame: identifier word with its marks in front (big-endian), length, flags, raw length code, data.</summary>
    public static byte[] Record(uint word, string hex, int flags = 0, int? length = null, int rawCode = 0, int? size = null, bool hostOrder = false)
    {
        var data = Some.Bytes(hex);
        var record = new byte[size ?? (data.Length > 8 || (flags & 4) != 0 ? 72 : 16)];
        if (hostOrder)
        {
            BinaryPrimitives.WriteUInt32LittleEndian(record, word);
        }
        else
        {
            BinaryPrimitives.WriteUInt32BigEndian(record, word);
        }

        record[4] = (byte)(length ?? data.Length);
        record[5] = (byte)flags;
        record[7] = (byte)rawCode;
        data.CopyTo(record, 8);
        return record;
    }

    /// <summary>A cooked packet around a record, first form: the header is big-endian, the identifier in the file's order.</summary>
    public byte[] Cooked(byte[] record, int protocol = 0x0C, int kind = 0)
    {
        byte[] header = [0, (byte)kind, 1, 24, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, (byte)(protocol >> 8), (byte)protocol];
        return [.. header, .. InFileOrder(record)];
    }

    /// <summary>A cooked packet around a record, second form.</summary>
    public byte[] Cooked2(byte[] record, int protocol = 0x0C, int kind = 0, byte number = 3)
    {
        byte[] header = [(byte)(protocol >> 8), (byte)protocol, 0, 0, 0, 0, 0, number, 1, 24, (byte)kind, 0, 0, 0, 0, 0, 0, 0, 0, 0];
        return [.. header, .. InFileOrder(record)];
    }

    private byte[] InFileOrder(byte[] record) => big ? record : [.. record[..4].Reverse(), .. record[4..]];

    private static byte[] Pad(byte[] data) => [.. data, .. new byte[-data.Length & 3]];

    private byte[] Options(byte[][] options) => options.Length == 0 ? [] : [.. options.SelectMany(o => o), .. U16(0), .. U16(0)];
}
