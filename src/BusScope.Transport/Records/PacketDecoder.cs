using System.Buffers.Binary;
using BusScope.Frames;
using BusScope.Frames.Diagnostics;
using BusScope.Transport.Audit;

namespace BusScope.Transport.Records;

/// <summary>Turns packets into frames: the exact way, for every link type and every oddity. Allocates only on a fault's first occurrence.</summary>
internal sealed class PacketDecoder(ProblemLog problems, CaptureOptions options)
{
    // tcpdump.org/linktypes, LINKTYPE_LINUX_SLL and LINKTYPE_LINUX_SLL2: header lengths and the fields that matter here.
    private const int CookedLength = 16;
    private const int CookedProtocolAt = 14;
    private const int Cooked2Length = 20;
    private const int Cooked2InterfaceAt = 4;
    private const int Cooked2KindAt = 10;
    private const int OutgoingPacket = 4;

    // include/uapi/linux/if_ether.h: ETH_P_CAN, ETH_P_CANFD, ETH_P_CANXL.
    private const ushort ClassicProtocol = 0x000C;
    private const ushort FlexibleProtocol = 0x000D;
    private const ushort XlProtocol = 0x000E;

    /// <summary>Whether the identifiers stand the right way round.</summary>
    public IdentifierOrder Order { get; } = new(problems, options.IdentifiersSwapped);

    /// <summary>Adds the frame of a packet to the batch, if it holds one.</summary>
    /// <returns>Whether a frame was added.</returns>
    public bool Add(FrameBatch batch, Link link, in Packet packet) => link.Type switch
    {
        LinkType.Can => AddRecord(batch, link.Bus, packet, packet.Bytes, packet.OriginalLength, isBigEndian: true, isFlexible: null, packet.Direction),
        LinkType.Cooked => AddCooked(batch, link, packet),
        LinkType.Cooked2 => AddCooked2(batch, link, packet),
        _ => Count(CaptureProblems.OtherPacket, batch, packet, ""),
    };

    private bool AddCooked(FrameBatch batch, Link link, in Packet packet)
    {
        if (packet.Bytes.Length < CookedLength)
        {
            return Count(CaptureProblems.CutFrame, batch, packet, "");
        }

        var protocol = BinaryPrimitives.ReadUInt16BigEndian(packet.Bytes[CookedProtocolAt..]);
        var kind = BinaryPrimitives.ReadUInt16BigEndian(packet.Bytes);
        return AddCooked(batch, link, packet, protocol, 0, kind, CookedLength);
    }

    private bool AddCooked2(FrameBatch batch, Link link, in Packet packet)
    {
        if (packet.Bytes.Length < Cooked2Length)
        {
            return Count(CaptureProblems.CutFrame, batch, packet, "");
        }

        var protocol = BinaryPrimitives.ReadUInt16BigEndian(packet.Bytes);
        var number = BinaryPrimitives.ReadUInt32BigEndian(packet.Bytes[Cooked2InterfaceAt..]);
        return AddCooked(batch, link, packet, protocol, number, packet.Bytes[Cooked2KindAt], Cooked2Length);
    }

    private bool AddCooked(FrameBatch batch, Link link, in Packet packet, ushort protocol, uint number, int kind, int header)
    {
        if (protocol is not (ClassicProtocol or FlexibleProtocol))
        {
            return Count(protocol == XlProtocol ? CaptureProblems.CanXl : CaptureProblems.OtherPacket, batch, packet, "");
        }

        var bus = link.CookedBus(number);
        if (bus < 0)
        {
            return Count(CaptureProblems.TooManyBuses, batch, packet, "");
        }

        var direction = packet.Direction != Direction.Unknown ? packet.Direction : kind == OutgoingPacket ? Direction.Sent : Direction.Received;
        var original = packet.OriginalLength - (uint)Math.Min(header, packet.OriginalLength);
        return AddRecord(batch, bus, packet, packet.Bytes[header..], original, packet.IsBigEndian, protocol == FlexibleProtocol, direction);
    }

    // isBigEndian: how the identifier word stands; isFlexible: what is known from outside the record, or null.
    private bool AddRecord(FrameBatch batch, int bus, in Packet packet, ReadOnlySpan<byte> record, uint original, bool isBigEndian, bool? isFlexible, Direction direction)
    {
        if (record.Length < RecordLayout.HeaderLength)
        {
            return Count(CaptureProblems.CutFrame, batch, packet, "the record ends inside its header");
        }

        int length = record[RecordLayout.LengthAt];
        int flags = record[RecordLayout.FlagsAt];
        if ((length & RecordLayout.XlFlag) != 0)
        {
            return Count(CaptureProblems.CanXl, batch, packet, "");
        }

        // A recorder may leave the CAN FD flag out; the length of the record tells it too.
        var flexible = isFlexible ?? (record.Length == RecordLayout.FlexibleLength || original == RecordLayout.FlexibleLength || (flags & RecordLayout.FlexibleFlag) != 0);
        var word = BinaryPrimitives.ReadUInt32BigEndian(record);
        word = isBigEndian != options.IdentifiersSwapped ? word : BinaryPrimitives.ReverseEndianness(word);
        if (Order.IsOpen)
        {
            Order.See(word, Place(batch, packet));
        }

        var isRemote = (word & RecordLayout.RemoteBit) != 0;
        var rawCode = !flexible && length == Payload.ClassicCapacity ? record[RecordLayout.RawCodeAt] : 0;
        if (!IsLength(length, flexible))
        {
            _ = Count(CaptureProblems.BadLength, batch, packet, flexible ? "CAN FD, length " : "Classical CAN, length ", length);
            if (length > Payload.Capacity)
            {
                return false;
            }

            // A recorder that put the raw code where the length belongs.
            if (!flexible && length <= RecordLayout.LargestRawCode && record.Length < RecordLayout.HeaderLength + length)
            {
                (rawCode, length) = (length, Payload.ClassicCapacity);
            }
        }

        if (!isRemote && record.Length < RecordLayout.HeaderLength + length)
        {
            return Count(CaptureProblems.CutFrame, batch, packet, "payload bytes recorded: ", record.Length - RecordLayout.HeaderLength);
        }

        var kinds = (FrameKinds)(word >> RecordLayout.WordToKinds) & (FrameKinds.Remote | FrameKinds.ErrorReport);
        if (!AreFlags(kinds, flags, flexible))
        {
            _ = Count(CaptureProblems.BadFlags, batch, packet, "flags byte ", flags);
        }

        kinds |= flexible ? (FrameKinds)(flags & RecordLayout.FlexibleFlags) | FrameKinds.FlexibleDataRate : FrameKinds.None;
        var id = CanId.OfWord(word);

        // The identifier of an error report is a set of error classes, wider than 11 bits.
        if (!id.Fits && (kinds & FrameKinds.ErrorReport) == 0)
        {
            problems.Add(AuditProblems.IdTooLarge, Place(batch, packet), problems.IsNew(AuditProblems.IdTooLarge) ? $"0x{id.Value:X}" : null);
        }

        ref var frame = ref batch.Add();
        if (isRemote)
        {
            frame.SetClassic(packet.Time, (ushort)bus, id, kinds, (byte)length, 0);
        }
        else
        {
            frame.Set(packet.Time, (ushort)bus, id, kinds, record.Slice(RecordLayout.HeaderLength, length));
        }

        frame.Direction = direction;
        if (rawCode is > Payload.ClassicCapacity and <= RecordLayout.LargestRawCode)
        {
            frame.RawLengthCode = (byte)rawCode;
        }

        return true;
    }

    // ISO 11898-1: the lengths that a data length code can say.
    private static bool IsLength(int length, bool isFlexible) =>
        length <= Payload.ClassicCapacity || (isFlexible && length is 12 or 16 or 20 or 24 or 32 or 48 or 64);

    private static bool AreFlags(FrameKinds kinds, int flags, bool isFlexible) =>
        (flags & ~(isFlexible ? RecordLayout.FlexibleFlags : 0)) == 0
        && (kinds == FrameKinds.None || (kinds is FrameKinds.Remote or FrameKinds.ErrorReport && !isFlexible));

    private bool Count(ProblemKind kind, FrameBatch batch, in Packet packet, string detail, int? figure = null)
    {
        if (problems.IsNew(kind))
        {
            problems.Add(kind, Place(batch, packet), detail.Length == 0 ? null : $"{detail}{figure}");
        }
        else
        {
            problems.Add(kind, default);
        }

        return false;
    }

    private static ProblemPlace Place(FrameBatch batch, in Packet packet) => new(batch.FirstNumber + batch.Count, packet.Offset);
}
