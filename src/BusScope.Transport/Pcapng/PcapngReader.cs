using System.Buffers.Binary;
using BusScope.Frames;
using BusScope.Frames.Diagnostics;
using BusScope.Transport.Input;
using BusScope.Transport.Records;

namespace BusScope.Transport.Pcapng;

/// <summary>
/// Reads pcapng (draft-ietf-opsawg-pcapng). One synchronous parser over the window serves files and streams: a block is taken
/// only when all of it is there, and everything before a fault is delivered.
/// </summary>
internal sealed class PcapngReader : CaptureReader
{
    private readonly CommentStore comments;
    private readonly bool isFastAllowed;
    private Section? section;

    public PcapngReader(ByteWindow window, string name, CaptureOptions options)
        : base(window, name, options)
    {
        comments = new CommentStore(Problems);
        isFastAllowed = !options.IdentifiersSwapped;
    }

    /// <inheritdoc/>
    public override string Format => "pcapng";

    /// <inheritdoc/>
    public override IReadOnlyList<string> Comments => comments.OfSections;

    /// <inheritdoc/>
    protected override void Parse(FrameBatch batch)
    {
        while (!batch.IsFull && !IsOver)
        {
            // The judge of the identifiers' order sees the first frames one by one.
            if (isFastAllowed && section is not null && !Decoder.Order.IsOpen && FastPackets.Take(Window, section.Fast, batch) is { } time)
            {
                section.LastTime = time;
            }

            if (batch.IsFull || !TakeBlock(batch))
            {
                return;
            }
        }
    }

    /// <inheritdoc/>
    protected override CapturePlace? Place(OpenedFile file, long offset, BusTable buses, ProblemLog problems)
    {
        if (section is null)
        {
            return null;
        }

        var kept = new CommentStore(problems);
        kept.TakeOver(comments);
        return new PcapngPlace(section.For(buses, problems, kept), kept) { File = file, Offset = offset, IsOver = IsOver, Buses = buses, Problems = problems };
    }

    /// <inheritdoc/>
    protected override void TakeOver(CapturePlace place)
    {
        var begin = place as PcapngPlace ?? throw Other();
        comments.TakeOver(begin.Comments);
        section = begin.Section.For(BusTable, Problems, comments);
    }

    // Takes one block of any kind; false when not all of it is there, or none can follow.
    private bool TakeBlock(FrameBatch batch)
    {
        var bytes = Window.Bytes;
        if (bytes.Length < PcapngFormat.ShortestBlock)
        {
            return false;
        }

        var type = BinaryPrimitives.ReadUInt32LittleEndian(bytes);
        if (type == BlockType.SectionHeader)
        {
            return TakeSectionHeader(bytes);
        }

        type = section!.U32(bytes);
        var length = section.U32(bytes[4..]);
        if (!IsLengthPossible(length))
        {
            return false;
        }

        if (length > ByteWindow.Capacity)
        {
            Count(CaptureProblems.LargeBlock, batch, "block bytes: ", length);
            Skip(length);
            return !IsSkipping;
        }

        if (bytes.Length < length)
        {
            return false;
        }

        var block = bytes[..(int)length];
        var repeated = section.U32(block[^PcapngFormat.BlockTail..]);
        if (repeated != length)
        {
            End(CaptureProblems.Damaged, $"the block's length is {length} in front and {repeated} behind");
            return false;
        }

        var body = block[PcapngFormat.BlockHead..^PcapngFormat.BlockTail];
        if (!TakeBody(batch, type, body))
        {
            Count(CaptureProblems.BadBlock, batch, "block type ", type);
        }

        Window.Start += (int)length;
        return true;
    }

    private bool IsLengthPossible(uint length)
    {
        if (length >= PcapngFormat.ShortestBlock && length % 4 == 0 && length <= PcapngFormat.LongestBlock)
        {
            return true;
        }

        End(CaptureProblems.Damaged, $"a block cannot have {length} bytes");
        return false;
    }

    private bool TakeSectionHeader(ReadOnlySpan<byte> bytes)
    {
        var mark = BinaryPrimitives.ReadUInt32LittleEndian(bytes[8..]);
        if (mark is not PcapngFormat.ByteOrderMark && BinaryPrimitives.ReverseEndianness(mark) != PcapngFormat.ByteOrderMark)
        {
            End(CaptureProblems.Damaged, "a section begins without the mark of its byte order");
            return false;
        }

        var next = new Section(mark != PcapngFormat.ByteOrderMark, BusTable, Problems, comments) { LastTime = section?.LastTime ?? default };
        var length = next.U32(bytes[4..]);
        if (!IsLengthPossible(length))
        {
            return false;
        }

        if (length is < PcapngFormat.ShortestSection or > ByteWindow.Capacity)
        {
            End(CaptureProblems.Damaged, $"a section header cannot have {length} bytes");
            return false;
        }

        if (bytes.Length < length)
        {
            return false;
        }

        var block = bytes[..(int)length];
        var (major, repeated) = (next.U16(block[12..]), next.U32(block[^PcapngFormat.BlockTail..]));
        if (major != 1 || repeated != length)
        {
            End(CaptureProblems.Damaged, major != 1 ? $"version {major} of the format is not known" : $"the section header's length is {length} in front and {repeated} behind");
            return false;
        }

        section = next;
        var options = new OptionReader(block[24..^PcapngFormat.BlockTail], next.IsBigEndian);
        while (options.Next())
        {
            if (options.Code == OptionCode.Comment)
            {
                comments.KeepOfSection(options.Text, Window.Offset);
            }
        }

        Window.Start += (int)length;
        return true;
    }

    // False when the content does not fit into the block.
    private bool TakeBody(FrameBatch batch, uint type, ReadOnlySpan<byte> body)
    {
        switch (type)
        {
            case BlockType.EnhancedPacket:
                return TakeEnhanced(batch, body);
            case BlockType.Interface:
                return body.Length >= 8 && section!.AddInterface(body, Window.Offset);
            case BlockType.InterfaceStatistics:
                return body.Length >= 12 && section!.AddStatistics(body, Window.Offset);
            case BlockType.SimplePacket:
                return TakeSimple(batch, body);
            case BlockType.ObsoletePacket:
                return TakeObsolete(batch, body);
            case BlockType.NameResolution:
                return true;
            default:
                Count(CaptureProblems.UnknownBlock, batch, "block type ", type);
                return true;
        }
    }

    // Section 4.3: interface, time, recorded and original length, data, options.
    private bool TakeEnhanced(FrameBatch batch, ReadOnlySpan<byte> body) =>
        body.Length >= 20 && TakePacket(batch, body, section!.U32(body), dropped: 0);

    // Appendix A: the same with an interface of 16 bits, beside it how many packets were lost before this one.
    private bool TakeObsolete(FrameBatch batch, ReadOnlySpan<byte> body)
    {
        if (body.Length < 20)
        {
            return false;
        }

        var dropped = section!.U16(body[2..]);
        return TakePacket(batch, body, section.U16(body), dropped == ushort.MaxValue ? (ushort)0 : dropped);
    }

    private bool TakePacket(FrameBatch batch, ReadOnlySpan<byte> body, uint number, ulong dropped)
    {
        var recorded = section!.U32(body[12..]);
        if (recorded > body.Length - 20)
        {
            return false;
        }

        if (Find(batch, number) is not { } from)
        {
            return true;
        }

        var data = body.Slice(20, (int)recorded);
        var options = new OptionReader(body[Math.Min(body.Length, 20 + PcapngFormat.Padded((int)recorded))..], section.IsBigEndian);
        var ticks = ((ulong)section.U32(body[4..]) << 32) | section.U32(body[8..]);
        if (!from.Scale.TryConvert(ticks, out var time))
        {
            Count(CaptureProblems.TimeOutOfRange, batch, "ticks: ", ticks);
        }

        var direction = Direction.Unknown;
        for (var flags = options; flags.Next();)
        {
            direction = flags.Code == OptionCode.PacketFlags && flags.Number is { } bits ? ToDirection(bits) : direction;
            dropped += flags.Code == OptionCode.PacketDropCount ? flags.LongNumber ?? 0 : 0;
        }

        if (dropped > 0)
        {
            section.ReportDropped(from, dropped, Place(batch, from.Link.Name));
        }

        if (Add(batch, from, data, section.U32(body[16..]), time, direction))
        {
            TakeComments(batch, ref options);
        }
        else
        {
            while (options.Next())
            {
            }
        }

        return !options.IsMalformed;
    }

    // Section 4.4: only the original length; the first interface, and no time.
    private bool TakeSimple(FrameBatch batch, ReadOnlySpan<byte> body)
    {
        if (body.Length < 4)
        {
            return false;
        }

        if (Find(batch, 0) is not { } from)
        {
            return true;
        }

        var original = section!.U32(body);
        var recorded = from.SnapLength == 0 ? original : Math.Min(original, from.SnapLength);
        if (recorded > body.Length - 4)
        {
            return false;
        }

        if (Add(batch, from, body.Slice(4, (int)recorded), original, section.LastTime, Direction.Unknown))
        {
            Problems.Add(CaptureProblems.NoTime, Place(batch, from.Link.Name));
        }

        return true;
    }

    private Interface? Find(FrameBatch batch, uint number)
    {
        var from = section!.Find(number);
        if (from is { IsRead: true })
        {
            return from;
        }

        var kind = from is null ? CaptureProblems.UnknownInterface : from.Link.CanHoldFrames ? CaptureProblems.TooManyBuses : CaptureProblems.OtherPacket;
        Problems.Add(kind, Problems.IsNew(kind) ? Place(batch) : default);
        return null;
    }

    private bool Add(FrameBatch batch, Interface from, ReadOnlySpan<byte> data, uint original, FrameTime time, Direction direction)
    {
        section!.LastTime = time;
        return Decoder.Add(batch, from.Link, new Packet
        {
            Bytes = data,
            OriginalLength = original,
            Time = time,
            Direction = direction,
            IsBigEndian = section.IsBigEndian,
            Offset = Window.Offset,
        });
    }

    private static void TakeComments(FrameBatch batch, ref OptionReader options)
    {
        while (options.Next())
        {
            if (options.Code == OptionCode.Comment)
            {
                batch.Note(options.Text);
            }
        }
    }

    // Section 4.3.1: the lowest two bits say inbound or outbound.
    private static Direction ToDirection(uint flags) => (flags & 3) switch
    {
        1 => Direction.Received,
        2 => Direction.Sent,
        _ => Direction.Unknown,
    };

    private sealed record PcapngPlace(Section Section, CommentStore Comments) : CapturePlace;
}
