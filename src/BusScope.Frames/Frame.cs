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

    // What every frame is asked for stands in front, so that one or two cache lines hold it.
    private FrameTime time;

    // The identifier with the marks for 29 bit (bit 31), remote (30) and error report (29), laid out like the Linux kernel's
    // can_id (include/uapi/linux/can.h), so that a record of that layout is taken over as it is.
    private uint word;
    private ushort bus;
    private byte length;

    // Bits 0-2: BRS, ESI, FDF. Bits 3-4: direction. Bits 5-7: the raw data length code less 8.
    private byte details;
    private Payload payload;

    /// <summary>When the frame was received, by its source's clock.</summary>
    public readonly FrameTime Time => time;

    /// <summary>The identifier; for an error report, the error classes.</summary>
    public readonly CanId Id => CanId.OfWord(word);

    /// <summary>The index of the bus in <see cref="IFrameSource.Buses"/>.</summary>
    public ushort Bus { readonly get => bus; set => bus = value; }

    /// <summary>Payload bytes: 0 to 8, for CAN FD 0 to 64. For a remote frame the length asked for.</summary>
    public readonly byte Length => length;

    /// <summary>What kind of frame it is.</summary>
    public readonly FrameKinds Kinds => (FrameKinds)((details & DetailKinds) | ((int)(word >> WordToKinds) & WordKinds));

    /// <summary>The data length code as sent, 9 to 15, where a Classical CAN frame of 8 bytes said more than 8; otherwise 0.</summary>
    public byte RawLengthCode
    {
        readonly get => details >> RawCodeShift is var code and not 0 ? (byte)(code + Payload.ClassicCapacity) : (byte)0;
        set => details = (byte)((details & ~(7 << RawCodeShift)) | ((value > Payload.ClassicCapacity ? (value - Payload.ClassicCapacity) & 7 : 0) << RawCodeShift));
    }

    /// <summary>Which way it went at the recording adapter.</summary>
    public Direction Direction
    {
        readonly get => (Direction)((details >> DirectionShift) & 3);
        set => details = (byte)((details & ~(3 << DirectionShift)) | (((int)value & 3) << DirectionShift));
    }

    /// <summary>Whether this is a CAN FD frame.</summary>
    public readonly bool IsFlexibleDataRate => (details & (int)FrameKinds.FlexibleDataRate) != 0;

    /// <summary>Whether this is a remote frame.</summary>
    public readonly bool IsRemote => (word & RemoteBit) != 0;

    /// <summary>Whether this is an adapter's report of a fault and not a frame of the bus.</summary>
    public readonly bool IsErrorReport => (word & ErrorBit) != 0;

    /// <summary>Whether the frame carries data of a message: neither a remote frame nor an error report.</summary>
    public readonly bool CarriesData => (word & (RemoteBit | ErrorBit)) == 0;

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
        // A shift by 64 would be a shift by 0, so the empty payload is told apart.
        var kept = length == 0 ? 0UL : firstEight & (ulong.MaxValue >> (64 - (8 * Math.Min(length, (byte)Payload.ClassicCapacity))));
        BinaryPrimitives.WriteUInt64LittleEndian(payload, kept);
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private void SetHeader(FrameTime time, ushort bus, CanId id, FrameKinds kinds, byte length)
    {
        this.time = time;
        word = id.Word | (((uint)kinds & WordKinds) << WordToKinds);
        this.bus = bus;
        this.length = length;
        details = (byte)((int)kinds & DetailKinds);
    }
}
