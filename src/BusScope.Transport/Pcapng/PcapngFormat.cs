namespace BusScope.Transport.Pcapng;

/// <summary>Block types (draft-ietf-opsawg-pcapng, section 4 and appendix A).</summary>
internal static class BlockType
{
    public const uint Interface = 1;
    public const uint ObsoletePacket = 2;
    public const uint SimplePacket = 3;
    public const uint NameResolution = 4;
    public const uint InterfaceStatistics = 5;
    public const uint EnhancedPacket = 6;

    /// <summary>Reads the same in both byte orders.</summary>
    public const uint SectionHeader = 0x0A0D0D0A;
}

/// <summary>Option codes (draft-ietf-opsawg-pcapng, sections 3.5 and 4).</summary>
internal static class OptionCode
{
    public const ushort End = 0;
    public const ushort Comment = 1;

    public const ushort SectionApplication = 4;

    public const ushort InterfaceName = 2;
    public const ushort InterfaceDescription = 3;
    public const ushort InterfaceSpeed = 8;
    public const ushort InterfaceTimeResolution = 9;
    public const ushort InterfaceTimeOffset = 14;

    public const ushort PacketFlags = 2;
    public const ushort PacketDropCount = 4;

    public const ushort StatisticsStart = 2;
    public const ushort StatisticsEnd = 3;
    public const ushort StatisticsReceived = 4;
    public const ushort StatisticsDropped = 5;
    public const ushort StatisticsSystemDropped = 7;
}

/// <summary>Sizes and marks of blocks (draft-ietf-opsawg-pcapng, sections 3.1 and 4.1).</summary>
internal static class PcapngFormat
{
    /// <summary>Written in the order of its section; tells that order.</summary>
    public const uint ByteOrderMark = 0x1A2B3C4D;

    /// <summary>Type and length in front.</summary>
    public const int BlockHead = 8;

    /// <summary>The length repeated behind.</summary>
    public const int BlockTail = 4;

    /// <summary>The shortest block: head and tail.</summary>
    public const int ShortestBlock = BlockHead + BlockTail;

    /// <summary>The longest block that is skipped rather than taken as a sign of damage: our own limit.</summary>
    public const uint LongestBlock = 16 * 1024 * 1024;

    /// <summary>The shortest section header: mark, version, section length.</summary>
    public const int ShortestSection = ShortestBlock + 16;

    /// <summary>Microseconds, the resolution of an interface that states none.</summary>
    public const byte DefaultResolution = 6;

    /// <summary>Nanoseconds.</summary>
    public const byte Nanoseconds = 9;

    /// <summary>How the data bit rate of a bus is written, as a comment of its interface: the format has no option for it.</summary>
    public const string DataRateBefore = "data phase at ";

    /// <summary>Behind the number.</summary>
    public const string DataRateAfter = " bit/s";

    /// <summary>A length filled up to whole words of four bytes.</summary>
    public static int Padded(int length) => (length + 3) & ~3;
}
