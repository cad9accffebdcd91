using System.Buffers.Binary;
using System.Runtime.CompilerServices;
using BusScope.Signals.Definitions;

namespace BusScope.Signals.Plans;

/// <summary>
/// A field compiled to eight payload bytes that are read at once, and to what is cut out of them: the one place where bits become
/// numbers, for single frames and for blocks. A field of up to 64 bits at an odd position can touch nine bytes; the ninth is
/// then fetched apart.
/// </summary>
internal readonly struct BitWindow
{
    private const int WindowBytes = 8;
    private const int WindowBits = 64;
    private const int LaneBytes = 4;

    private readonly BitField layout;

    /// <summary>Compiles a field of 1 to 64 bits.</summary>
    public BitWindow(BitField field)
    {
        layout = field;
        Mask = field.Length >= WindowBits ? ulong.MaxValue : (1UL << field.Length) - 1;
        IsSwapped = field.Order == ByteOrder.Big;
        (Bytes, LowestByte, HighestByte) = ((byte)(field.LastByte - field.FirstByte + 1), (byte)(IsSwapped ? field.LastByte : field.FirstByte), (byte)(IsSwapped ? field.FirstByte : field.LastByte));
        Straddles = field.LastByte - field.FirstByte >= WindowBytes;

        // Chosen so that the window lies inside a block's row of 8 or 64 bytes wherever the field does.
        Offset = field.LastByte < WindowBytes ? 0
            : field.LastByte < Frames.Payload.Capacity ? Math.Min(field.FirstByte, Frames.Payload.Capacity - WindowBytes)
            : field.FirstByte;
        var along = field.BitsBeforeStart + (8 * (field.FirstByte - Offset));
        Shift = Straddles ? 0 : IsSwapped ? WindowBits - along - field.Length : along;
        Lane = Math.Min(Shift / 8, WindowBytes - LaneBytes);
        HasLane = !Straddles && LaneShift + field.Length <= LaneBytes * 8;
    }

    /// <summary>The payload byte where the window begins.</summary>
    public int Offset { get; }

    /// <summary>Whether the window is read most significant byte first.</summary>
    public bool IsSwapped { get; }

    /// <summary>Whether the field touches nine bytes, so that no window holds it.</summary>
    public bool Straddles { get; }

    /// <summary>How far down the field's least significant bit stands in the window.</summary>
    public int Shift { get; }

    /// <summary>How many bytes the field touches.</summary>
    public byte Bytes { get; }

    /// <summary>The payload byte in which the field's least significant bit stands.</summary>
    public byte LowestByte { get; }

    /// <summary>The payload byte in which the field's most significant bit stands.</summary>
    public byte HighestByte { get; }

    /// <summary>How far down the field's least significant bit stands in its byte.</summary>
    public int ByteShift => Shift % 8;

    /// <summary>Whether the field stands within four bytes, its lane.</summary>
    public bool HasLane { get; }

    /// <summary>Where the lane's least significant byte stands in the window, counted from the window's own least significant; 0 to 4.</summary>
    public int Lane { get; }

    /// <summary>How far down the field's least significant bit stands in the lane.</summary>
    public int LaneShift => Shift - (8 * Lane);

    /// <summary>The payload byte where the lane begins.</summary>
    public int LaneOffset => Offset + (IsSwapped ? WindowBytes - LaneBytes - Lane : Lane);

    /// <summary>As many ones as the field has bits.</summary>
    public ulong Mask { get; }

    /// <summary>The field's last byte.</summary>
    public int LastByte => layout.LastByte;

    /// <summary>The bits of the layout. The payload reaches to <see cref="LastByte"/>.</summary>
    public ulong Read(ReadOnlySpan<byte> payload) => Straddles ? ReadNine(payload) : Cut(Load(payload, Offset));

    /// <summary>Cuts the field out of its window.</summary>
    /// <param name="window">Eight payload bytes from <see cref="Offset"/>, as a little-endian number.</param>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public ulong Cut(ulong window) => ((IsSwapped ? BinaryPrimitives.ReverseEndianness(window) : window) >> Shift) & Mask;

    /// <summary>Puts a number into the field and leaves every other bit alone. The payload reaches to <see cref="LastByte"/>.</summary>
    public void Write(Span<byte> payload, ulong value)
    {
        for (var n = 0; n < layout.Length; n++)
        {
            var at = layout.At(n);
            var weight = IsSwapped ? layout.Length - 1 - n : n;
            var bit = (byte)(1 << at.Bit);
            payload[at.Byte] = (byte)((value >> weight & 1) != 0 ? payload[at.Byte] | bit : payload[at.Byte] & ~bit);
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static ulong Load(ReadOnlySpan<byte> payload, int offset) =>
        payload.Length - offset >= WindowBytes
            ? BinaryPrimitives.ReadUInt64LittleEndian(payload[offset..])
            : LoadShort(payload[offset..]);

    private static ulong LoadShort(ReadOnlySpan<byte> rest)
    {
        var window = 0UL;
        for (var i = 0; i < rest.Length; i++)
        {
            window |= (ulong)rest[i] << (8 * i);
        }

        return window;
    }

    private ulong ReadNine(ReadOnlySpan<byte> payload)
    {
        var first = payload.Slice(layout.FirstByte, WindowBytes);
        var ninth = (UInt128)payload[layout.LastByte];
        var along = layout.BitsBeforeStart;
        return Mask & (IsSwapped
            ? (ulong)((((UInt128)BinaryPrimitives.ReadUInt64BigEndian(first) << 8) | ninth) >> (WindowBits + 8 - along - layout.Length))
            : (ulong)(((ninth << WindowBits) | BinaryPrimitives.ReadUInt64LittleEndian(first)) >> along));
    }
}
