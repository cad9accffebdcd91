using System.Buffers.Binary;

namespace BusScope.Transport.Pcap;

/// <summary>The header of a pcap file (draft-ietf-opsawg-pcap, section 4).</summary>
/// <param name="IsBigEndian">Whether the numbers are big-endian.</param>
/// <param name="UnitNanoseconds">Nanoseconds in a unit of the times' fraction: 1000 or 1.</param>
/// <param name="Major">The major version; 2 is the only one in use.</param>
/// <param name="SnapLength">The most bytes recorded of a packet; 0 for no limit.</param>
/// <param name="LinkType">What the packets are.</param>
internal readonly record struct PcapHeader(bool IsBigEndian, long UnitNanoseconds, ushort Major, uint SnapLength, ushort LinkType)
{
    /// <summary>Bytes of the header.</summary>
    public const int Length = 24;

    /// <summary>Little-endian, times in microseconds.</summary>
    public const uint Microseconds = 0xA1B2C3D4;

    /// <summary>Big-endian, times in microseconds.</summary>
    public const uint MicrosecondsSwapped = 0xD4C3B2A1;

    /// <summary>Little-endian, times in nanoseconds.</summary>
    public const uint Nanoseconds = 0xA1B23C4D;

    /// <summary>Big-endian, times in nanoseconds.</summary>
    public const uint NanosecondsSwapped = 0x4D3CB2A1;

    private const int VersionAt = 4;
    private const int SnapLengthAt = 16;
    private const int LinkTypeAt = 20;

    /// <summary>Reads a header that begins with one of the four marks.</summary>
    public static PcapHeader Read(ReadOnlySpan<byte> bytes)
    {
        var mark = BinaryPrimitives.ReadUInt32LittleEndian(bytes);
        var big = mark is MicrosecondsSwapped or NanosecondsSwapped;
        var major = big ? BinaryPrimitives.ReadUInt16BigEndian(bytes[VersionAt..]) : BinaryPrimitives.ReadUInt16LittleEndian(bytes[VersionAt..]);
        // The upper half of the word tells about frame check sequences.
        return new PcapHeader(big, mark is Nanoseconds or NanosecondsSwapped ? 1 : 1000, major, U32(bytes[SnapLengthAt..], big), (ushort)U32(bytes[LinkTypeAt..], big));
    }

    /// <summary>A number of 32 bits in the order of the file.</summary>
    public uint U32(ReadOnlySpan<byte> bytes) => U32(bytes, IsBigEndian);

    private static uint U32(ReadOnlySpan<byte> bytes, bool big) => big ? BinaryPrimitives.ReadUInt32BigEndian(bytes) : BinaryPrimitives.ReadUInt32LittleEndian(bytes);
}
