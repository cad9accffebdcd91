using System.Buffers.Binary;
using System.Diagnostics.CodeAnalysis;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;

namespace BusScope.Frames;

/// <summary>
/// What arrived: time, bus, identifier, flags, length, payload; 80 bytes, a value in a <see cref="FrameBatch"/>.
/// Payload bytes past <see cref="Length"/> are zero up to the next multiple of eight, so that eight bytes can always be
/// read at once. Pass it by reference.
/// </summary>
public struct Frame
{
    private const uint RemoteBit = 0x4000_0000;
    private const uint ErrorBit = 0x2000_0000;
    private const int WordToKinds = 26;
    private const int WordKinds = (int)(FrameKinds.Remote | FrameKinds.ErrorReport);
    private const int DetailKinds = (int)(FrameKinds.BitRateSwitch | FrameKinds.ErrorStateIndicator | FrameKinds.FlexibleDataRate);
    private const int DirectionShift = 3;
    private const int RawCodeShift = 5;

    private const int BusShift = 32;
    private const int LengthShift = 48;
    private const int DetailsShift = 56;

    // What every frame is asked for stands in front, so that one or two cache lines hold it.
    private FrameTime time;

    // One number, because a processor may write one a cycle. From the lowest bit on: the identifier with the marks for 29 bit (bit 31),
    // remote (30) and error report (29), laid out like the Linux kernel's can_id (include/uapi/linux/can.h), so that a record of that
    // layout is taken over as it is; 16 bits the bus; 8 bits the length; BRS, ESI, FDF; 2 bits the direction; 3 bits the raw data
    // length code less 8.
    private ulong head;
    private Payload payload;

    /// <summary>When the frame was received, by its source's clock.</summary>
    public readonly FrameTime Time => time;

    /// <summary>The identifier; for an error report, the error classes.</summary>
    public readonly CanId Id => CanId.OfWord(Word);

    /// <summary>The index of the bus in <see cref="IFrameSource.Buses"/>.</summary>
    public ushort Bus
    {
        readonly get => (ushort)(head >> BusShift);
        set => head = (head & ~((ulong)ushort.MaxValue << BusShift)) | ((ulong)value << BusShift);
    }

    /// <summary>
    /// Bus and identifier, with its marks for 29 bit, remote and error report, as one number: the upper 48 bits, the others are zero. Two data
    /// frames have the same where they are of one bus and one identifier, and no other frame has it.
    /// </summary>
    public readonly ulong Origin => head << (64 - LengthShift);

    /// <summary>Payload bytes: 0 to 8, for CAN FD 0 to 64. For a remote frame the length asked for.</summary>
    public readonly byte Length => (byte)(head >> LengthShift);

    /// <summary>What kind of frame it is.</summary>
    public readonly FrameKinds Kinds => (FrameKinds)((Details & DetailKinds) | ((int)(Word >> WordToKinds) & WordKinds));

    /// <summary>The data length code as sent, 9 to 15, where a Classical CAN frame of 8 bytes said more than 8; otherwise 0.</summary>
    public byte RawLengthCode
    {
        readonly get => Details >> RawCodeShift is var code and not 0 ? (byte)(code + Payload.ClassicCapacity) : (byte)0;
        set => Details = (byte)((Details & ~(7 << RawCodeShift)) | ((value > Payload.ClassicCapacity ? (value - Payload.ClassicCapacity) & 7 : 0) << RawCodeShift));
    }

    /// <summary>Which way it went at the recording adapter.</summary>
    public Direction Direction
    {
        readonly get => (Direction)((Details >> DirectionShift) & 3);
        set => Details = (byte)((Details & ~(3 << DirectionShift)) | (((int)value & 3) << DirectionShift));
    }

    /// <summary>Whether this is a CAN FD frame.</summary>
    public readonly bool IsFlexibleDataRate => (Details & (int)FrameKinds.FlexibleDataRate) != 0;

    /// <summary>Whether this is a remote frame.</summary>
    public readonly bool IsRemote => (Word & RemoteBit) != 0;

    /// <summary>Whether this is an adapter's report of a fault and not a frame of the bus.</summary>
    public readonly bool IsErrorReport => (Word & ErrorBit) != 0;

    /// <summary>Whether the frame carries data of a message: neither a remote frame nor an error report.</summary>
    public readonly bool CarriesData => (Word & (RemoteBit | ErrorBit)) == 0;

    /// <summary>The payload, <see cref="Length"/> bytes; empty for a remote frame.</summary>
    [UnscopedRef]
    public readonly ReadOnlySpan<byte> Data => IsRemote ? [] : ((ReadOnlySpan<byte>)payload)[..Length];

    /// <summary>All 64 bytes of room, zero past the payload up to the next multiple of eight and undefined behind that.</summary>
    [UnscopedRef]
    public readonly ReadOnlySpan<byte> Room => payload;

    /// <summary>The first eight payload bytes as a little-endian number, zero where the payload is shorter.</summary>
    public readonly ulong FirstEight => BinaryPrimitives.ReadUInt64LittleEndian(payload);

    /// <summary>Writes a whole frame over whatever stood here.</summary>
    /// <param name="time">When it was received.</param>
    /// <param name="bus">Index of the bus.</param>
    /// <param name="id">Its identifier.</param>
    /// <param name="kinds">What kind of frame it is.</param>
    /// <param name="data">The payload, at most 64 bytes; ignored for a remote frame.</param>
    /// <exception cref="ArgumentOutOfRangeException">More than 64 bytes.</exception>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public void Set(FrameTime time, ushort bus, CanId id, FrameKinds kinds, ReadOnlySpan<byte> data)
    {
        ArgumentOutOfRangeException.ThrowIfGreaterThan(data.Length, Payload.Capacity);
        SetHeader(time, bus, id, kinds, (byte)data.Length);
        Span<byte> room = payload;
        MemoryMarshal.Write(room, 0UL);
        if (data.Length > Payload.ClassicCapacity)
        {
            room[Payload.ClassicCapacity..((data.Length + 7) & ~7)].Clear();
        }

        data.CopyTo(room);
    }

    /// <summary>Writes a whole frame of at most eight bytes over whatever stood here: the fast way for Classical CAN.</summary>
    /// <param name="time">When it was received.</param>
    /// <param name="bus">Index of the bus.</param>
    /// <param name="id">Its identifier.</param>
    /// <param name="kinds">What kind of frame it is.</param>
    /// <param name="length">0 to 8; for a remote frame the length asked for.</param>
    /// <param name="firstEight">The payload as a little-endian number; bytes past the length are cleared here.</param>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public void SetClassic(FrameTime time, ushort bus, CanId id, FrameKinds kinds, byte length, ulong firstEight)
    {
        SetHeader(time, bus, id, kinds, length);
        BinaryPrimitives.WriteUInt64LittleEndian(payload, firstEight & Payload.Within(Math.Min(length, (byte)Payload.ClassicCapacity)));
    }

    /// <summary>Writes a whole Classical CAN frame over whatever stood here, as a record of the kernel's layout has it (include/uapi/linux/can.h).</summary>
    /// <param name="time">When it was received.</param>
    /// <param name="bus">Index of the bus.</param>
    /// <param name="idWord">The identifier with its marks: 29 bit (bit 31), remote (30), error report (29).</param>
    /// <param name="length">0 to 8; for a remote frame the length asked for.</param>
    /// <param name="firstEight">The payload as a little-endian number; bytes past the length are cleared here.</param>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public void SetRecord(FrameTime time, ushort bus, uint idWord, byte length, ulong firstEight)
    {
        this.time = time;
        head = idWord | ((ulong)bus << BusShift) | ((ulong)length << LengthShift);
        BinaryPrimitives.WriteUInt64LittleEndian(payload, firstEight & Payload.Within(length));
    }

    private readonly uint Word => (uint)head;

    private byte Details
    {
        readonly get => (byte)(head >> DetailsShift);
        set => head = (head & ~((ulong)byte.MaxValue << DetailsShift)) | ((ulong)value << DetailsShift);
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private void SetHeader(FrameTime time, ushort bus, CanId id, FrameKinds kinds, byte length)
    {
        this.time = time;
        head = id.Word | (((uint)kinds & WordKinds) << WordToKinds) | ((ulong)bus << BusShift) | ((ulong)length << LengthShift) | ((ulong)((uint)kinds & DetailKinds) << DetailsShift);
    }
}
