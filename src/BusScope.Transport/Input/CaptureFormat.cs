using System.Buffers.Binary;

namespace BusScope.Transport.Input;

/// <summary>What the first bytes of a file say that it is.</summary>
internal enum CaptureFormat
{
    Empty,
    Pcapng,
    Pcap,
    Gzip,
    Zstd,
    Text,
    Unknown,
}

/// <summary>Recognises a file by its content; names mean nothing.</summary>
internal static class CaptureFormats
{
    /// <summary>Bytes that the marks need.</summary>
    public const int MarkLength = 4;

    /// <summary>What these first bytes are the beginning of.</summary>
    public static CaptureFormat Recognise(ReadOnlySpan<byte> first)
    {
        if (first.IsEmpty)
        {
            return CaptureFormat.Empty;
        }

        // RFC 1952, section 2.3.1: ID1, ID2 and the only method in use.
        if (first is [0x1F, 0x8B, 0x08, ..])
        {
            return CaptureFormat.Gzip;
        }

        if (first.Length >= MarkLength)
        {
            var mark = BinaryPrimitives.ReadUInt32LittleEndian(first);
            switch (mark)
            {
                case Pcapng.BlockType.SectionHeader:
                    return CaptureFormat.Pcapng;
                case Pcap.PcapHeader.Microseconds or Pcap.PcapHeader.MicrosecondsSwapped or Pcap.PcapHeader.Nanoseconds or Pcap.PcapHeader.NanosecondsSwapped:
                    return CaptureFormat.Pcap;
                // RFC 8878, sections 3.1.1 and 3.1.2: a frame, or a skippable one.
                case 0xFD2FB528 or (>= 0x184D2A50 and <= 0x184D2A5F):
                    return CaptureFormat.Zstd;
                default:
                    break;
            }
        }

        return LooksLikeText(first) ? CaptureFormat.Text : CaptureFormat.Unknown;
    }

    // No control character but tab, line feed, carriage return and form feed.
    private static bool LooksLikeText(ReadOnlySpan<byte> first)
    {
        foreach (var b in first)
        {
            if (b is 0x7F || (b < 0x20 && b is not (0x09 or 0x0A or 0x0C or 0x0D)))
            {
                return false;
            }
        }

        return true;
    }
}
