using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
using BusScope.Frames;

namespace BusScope.Signals.Plans;

/// <summary>The part of each row of a block in which a field stands.</summary>
internal interface IFieldRows
{
    /// <summary>Rows; at least one.</summary>
    int Count { get; }

    /// <summary>Twos of rows.</summary>
    int Pairs { get; }

    /// <summary>Fours of rows.</summary>
    int Quads { get; }

    /// <summary>The field's eight bytes in one row, as they stand there.</summary>
    ulong Window(int row);

    /// <summary>The field's eight bytes in two rows, the field's own byte order undone.</summary>
    Vector128<ulong> Windows(int pair);

    /// <summary>The field's four bytes in four rows, in any order of the rows, the field's own byte order undone.</summary>
    Vector128<uint> Lanes(int quad);
}

internal readonly ref struct ShortRows : IFieldRows
{
    private readonly ReadOnlySpan<ulong> rows;
    private readonly ReadOnlySpan<Vector128<byte>> pairs;
    private readonly ReadOnlySpan<(Vector128<byte> First, Vector128<byte> Second)> quads;
    private readonly Vector128<byte> order;
    private readonly Vector128<byte> lowerHalf;
    private readonly Vector128<byte> upperHalf;

    public ShortRows(ReadOnlySpan<byte> bytes, in BitWindow window)
    {
        rows = MemoryMarshal.Cast<byte, ulong>(bytes);
        pairs = MemoryMarshal.Cast<byte, Vector128<byte>>(bytes);
        quads = MemoryMarshal.Cast<byte, (Vector128<byte> First, Vector128<byte> Second)>(bytes);
        order = window.IsSwapped ? ByteOrders.SwappedEights : ByteOrders.Same;
        (lowerHalf, upperHalf) = ByteOrders.Fours(window.Lane, window.IsSwapped);
    }

    public int Count => rows.Length;

    public int Pairs => pairs.Length;

    public int Quads => quads.Length;

    public ulong Window(int row) => rows[row];

    public Vector128<ulong> Windows(int pair) => Vector128.ShuffleNative(pairs[pair], order).AsUInt64();

    public Vector128<uint> Lanes(int quad)
    {
        ref readonly var four = ref quads[quad];
        return (Vector128.ShuffleNative(four.First, lowerHalf) | Vector128.ShuffleNative(four.Second, upperHalf)).AsUInt32();
    }
}

internal readonly ref struct LongRows : IFieldRows
{
    private const int WindowsPerRow = Payload.Capacity / sizeof(ulong);
    private const int LanesPerRow = Payload.Capacity / sizeof(uint);

    // Of the first row from the field's window, or lane, on to the end: the same part of another row stands a whole row behind it.
    private readonly ReadOnlySpan<ulong> windows;
    private readonly ReadOnlySpan<uint> lanes;
    private readonly Vector128<byte> order;
    private readonly Vector128<byte> laneOrder;

    public LongRows(ReadOnlySpan<byte> bytes, in BitWindow window)
    {
        Count = bytes.Length / Payload.Capacity;
        windows = MemoryMarshal.Cast<byte, ulong>(bytes[window.Offset..]);
        lanes = MemoryMarshal.Cast<byte, uint>(bytes[window.LaneOffset..]);
        order = window.IsSwapped ? ByteOrders.SwappedEights : ByteOrders.Same;
        laneOrder = window.IsSwapped ? ByteOrders.SwappedFours : ByteOrders.Same;
    }

    public int Count { get; }

    public int Pairs => Count / 2;

    public int Quads => Count / 4;

    public ulong Window(int row) => windows[row * WindowsPerRow];

    public Vector128<ulong> Windows(int pair) =>
        Vector128.ShuffleNative(Vector128.Create(windows[2 * pair * WindowsPerRow], windows[((2 * pair) + 1) * WindowsPerRow]).AsByte(), order).AsUInt64();

    public Vector128<uint> Lanes(int quad)
    {
        var four = lanes.Slice(4 * quad * LanesPerRow, (3 * LanesPerRow) + 1);
        return Vector128.ShuffleNative(Vector128.Create(four[0], four[LanesPerRow], four[2 * LanesPerRow], four[3 * LanesPerRow]).AsByte(), laneOrder).AsUInt32();
    }
}
