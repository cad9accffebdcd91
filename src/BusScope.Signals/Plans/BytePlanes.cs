using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
using BusScope.Frames;

namespace BusScope.Signals.Plans;

/// <summary>
/// The rows of a block of short payloads turned round: each payload byte of all rows side by side, so that a field within one byte is looked
/// at in sixteen rows at once.
/// </summary>
internal sealed class BytePlanes
{
    /// <summary>From plane to plane in <see cref="All"/>.</summary>
    public const int VectorsPerPlane = MessageBlock.Capacity / Together;

    // Rows in a vector.
    private const int Together = 16;

    private readonly byte[] planes = new byte[Payload.ClassicCapacity * MessageBlock.Capacity];

    /// <summary>Rows held.</summary>
    public int Count { get; private set; }

    /// <summary>How many vectors they make.</summary>
    public int Vectors => (Count + Together - 1) / Together;

    /// <summary>Whole vectors of one byte of the rows; behind the last row it is repeated to the end of a vector.</summary>
    /// <param name="index">0 to 7.</param>
    public ReadOnlySpan<Vector128<byte>> this[int index] =>
        MemoryMarshal.Cast<byte, Vector128<byte>>(planes.AsSpan(index * MessageBlock.Capacity, MessageBlock.Capacity))[..Vectors];

    /// <summary>All bytes of all rows: the vectors of each plane begin <see cref="VectorsPerPlane"/> behind those of the one before.</summary>
    public ReadOnlySpan<Vector128<byte>> All => MemoryMarshal.Cast<byte, Vector128<byte>>(planes);

    /// <summary>One byte of the rows.</summary>
    /// <param name="index">0 to 7.</param>
    public ReadOnlySpan<byte> Bytes(int index) => planes.AsSpan(index * MessageBlock.Capacity, Count);

    /// <summary>Turns rows round, in place of those that were here.</summary>
    /// <param name="rows">At most <see cref="MessageBlock.Capacity"/>, eight bytes each.</param>
    public void Fill(ReadOnlySpan<byte> rows)
    {
        Count = rows.Length / Payload.ClassicCapacity;
        var pairs = MemoryMarshal.Cast<byte, Vector128<byte>>(rows);
        var at = 0;
        for (; at + Together <= Count; at += Together)
        {
            Turn(pairs.Slice(at / 2, Together / 2), at);
        }

        if (at < Count)
        {
            Span<ulong> rest = stackalloc ulong[Together];
            var last = MemoryMarshal.Cast<byte, ulong>(rows)[at..];
            last.CopyTo(rest);
            rest[last.Length..].Fill(last[^1]);
            Turn(MemoryMarshal.Cast<ulong, Vector128<byte>>(rest), at);
        }
    }

    // Sixteen rows, two in a vector. Rows of even and of odd number go apart up to the end, so that they come to stand in their order.
    private void Turn(ReadOnlySpan<Vector128<byte>> pairs, int at)
    {
        var (even0, odd0) = Both(pairs[0], pairs[1]);
        var (even1, odd1) = Both(pairs[2], pairs[3]);
        var (even2, odd2) = Both(pairs[4], pairs[5]);
        var (even3, odd3) = Both(pairs[6], pairs[7]);
        var even = new Eight(even0, even1, even2, even3);
        var odd = new Eight(odd0, odd1, odd2, odd3);
        Put(0, at, even.Bytes01, odd.Bytes01);
        Put(2, at, even.Bytes23, odd.Bytes23);
        Put(4, at, even.Bytes45, odd.Bytes45);
        Put(6, at, even.Bytes67, odd.Bytes67);
    }

    private static (Vector128<byte> Even, Vector128<byte> Odd) Both(Vector128<byte> left, Vector128<byte> right) =>
        (Interleaving.LowerBytes(left, right), Interleaving.UpperBytes(left, right));

    private void Put(int plane, int at, Vector128<byte> even, Vector128<byte> odd)
    {
        Interleaving.LowerBytes(even, odd).CopyTo(planes, (plane * MessageBlock.Capacity) + at);
        Interleaving.UpperBytes(even, odd).CopyTo(planes, ((plane + 1) * MessageBlock.Capacity) + at);
    }

    // Eight rows of one kind: two in each vector, byte by byte in turn. Then two bytes of all eight in each.
    private readonly ref struct Eight
    {
        public readonly Vector128<byte> Bytes01;
        public readonly Vector128<byte> Bytes23;
        public readonly Vector128<byte> Bytes45;
        public readonly Vector128<byte> Bytes67;

        public Eight(Vector128<byte> rows0, Vector128<byte> rows1, Vector128<byte> rows2, Vector128<byte> rows3)
        {
            var (firstLow, firstHigh) = (Interleaving.LowerTwos(rows0, rows1), Interleaving.UpperTwos(rows0, rows1));
            var (lastLow, lastHigh) = (Interleaving.LowerTwos(rows2, rows3), Interleaving.UpperTwos(rows2, rows3));
            Bytes01 = Interleaving.LowerFours(firstLow, lastLow);
            Bytes23 = Interleaving.UpperFours(firstLow, lastLow);
            Bytes45 = Interleaving.LowerFours(firstHigh, lastHigh);
            Bytes67 = Interleaving.UpperFours(firstHigh, lastHigh);
        }
    }
}
