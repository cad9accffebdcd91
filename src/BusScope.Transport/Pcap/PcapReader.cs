using BusScope.Frames;
using BusScope.Frames.Diagnostics;
using BusScope.Transport.Input;
using BusScope.Transport.Records;

namespace BusScope.Transport.Pcap;

/// <summary>Reads pcap (draft-ietf-opsawg-pcap): one header, then records of a head of 16 bytes and a packet.</summary>
internal sealed class PcapReader(ByteWindow window, string name, CaptureOptions options) : CaptureReader(window, name, options)
{
    private const int RecordHead = 16;

    // The most that libpcap accepts; a larger figure is a sign of damage.
    private const uint LongestPacket = 256 * 1024 - RecordHead;

    private PcapHeader header;
    private Link? link;

    /// <inheritdoc/>
    public override string Format => "pcap";

    /// <inheritdoc/>
    public override IReadOnlyList<string> Comments => [];

    /// <inheritdoc/>
    protected override void Parse(FrameBatch batch)
    {
        if (link is null && !TakeHeader())
        {
            return;
        }

        while (!batch.IsFull && TakeRecord(batch, link!))
        {
        }
    }

    /// <inheritdoc/>
    protected override CapturePlace? Place(OpenedFile file, long offset, BusTable buses, ProblemLog problems) =>
        link is null ? null : new PcapPlace(header, link.For(buses)) { File = file, Offset = offset, IsOver = IsOver, Buses = buses, Problems = problems };

    /// <inheritdoc/>
    protected override void TakeOver(CapturePlace place) => (header, link) = (place as PcapPlace ?? throw Other()).For(BusTable);

    private bool TakeHeader()
    {
        var bytes = Window.Bytes;
        if (bytes.Length < PcapHeader.Length)
        {
            return false;
        }

        header = PcapHeader.Read(bytes);
        if (header.Major != 2)
        {
            End(CaptureProblems.Damaged, $"version {header.Major} of the format is not known");
            return false;
        }

        link = new Link((LinkType)header.LinkType, "bus0", BusTable);
        if (link.Type == LinkType.Can)
        {
            _ = link.Join(new Bus(link.Name));
        }
        else if (!link.CanHoldFrames)
        {
            Problems.Add(CaptureProblems.OtherInterface, new ProblemPlace(ByteOffset: 0), $"link type {header.LinkType}");
        }

        Window.Start += PcapHeader.Length;
        return true;
    }

    private bool TakeRecord(FrameBatch batch, Link from)
    {
        var bytes = Window.Bytes;
        if (bytes.Length < RecordHead)
        {
            return false;
        }

        var recorded = header.U32(bytes[8..]);
        if (recorded > LongestPacket)
        {
            End(CaptureProblems.Damaged, $"a packet cannot have {recorded} bytes");
            return false;
        }

        if (bytes.Length < RecordHead + recorded)
        {
            return false;
        }

        var (seconds, fraction) = (header.U32(bytes), header.U32(bytes[4..]));
        var nanoseconds = fraction * header.UnitNanoseconds;
        if (nanoseconds >= FrameSpan.NanosecondsPerSecond)
        {
            Count(CaptureProblems.BadFraction, batch, "fraction ", fraction);
        }

        if (header.SnapLength != 0 && recorded > header.SnapLength)
        {
            Count(CaptureProblems.OverSnapLength, batch, "bytes: ", recorded);
        }

        _ = Decoder.Add(batch, from, new Packet
        {
            Bytes = bytes.Slice(RecordHead, (int)recorded),
            OriginalLength = header.U32(bytes[12..]),
            // At most 2^32 seconds and 2^32 microseconds: far inside the range.
            Time = new FrameTime((seconds * FrameSpan.NanosecondsPerSecond) + nanoseconds),
            IsBigEndian = header.IsBigEndian,
            Offset = Window.Offset,
        });
        Window.Start += RecordHead + (int)recorded;
        return true;
    }

    private sealed record PcapPlace(PcapHeader Header, Link Link) : CapturePlace
    {
        public (PcapHeader, Link) For(BusTable buses) => (Header, Link.For(buses));
    }
}
