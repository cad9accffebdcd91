using System.Buffers.Binary;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
using BusScope.Frames;

namespace BusScope.Signals.Plans;

/// <summary>
/// Adds the readings of one signal in a block to its tally. The physical value never falls (or, by scale, never rises) with the
/// key of a raw value, so the smallest and the largest key of the block decide about all its rows: where every key between
/// them is valid, no row needs to be looked at by itself.
/// </summary>
internal static class SignalScan
{
    // Reverses the bytes of each half of 16, or leaves them.
    private static readonly Vector128<byte> reversed = Vector128.Create((byte)7, 6, 5, 4, 3, 2, 1, 0, 15, 14, 13, 12, 11, 10, 9, 8);
    private static readonly Vector128<byte> straight = Vector128.Create((byte)0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15);

    /// <summary>Adds the whole block at once, or gives false where its rows are of different worth. All rows hold the signal.</summary>
    /// <param name="plan">A plain signal.</param>
    /// <param name="block">At least one row.</param>
    /// <param name="tally">Where to.</param>
    public static bool Add(SignalPlan plan, MessageBlock block, SignalTally tally)
    {
        var sign = plan.Sign;
        var (low, high) = Keys(plan, block.Rows, block.Stride);
        var quality = SampleQuality.Ok;
        if (!plan.Qualities!.IsEmpty && !plan.Qualities.AreOk(low, high))
        {
            if (low != high)
            {
                return false;
            }

            quality = plan.Qualities.Of(low);
        }

        tally.EverChanged |= low != high || (tally.LastRaw is { } before && before != (low ^ sign));
        tally.LastRaw = plan.Extract(block.Payload(block.Count - 1));
        if (quality == SampleQuality.Ok)
        {
            tally.Valid += block.Count;
            var (atLow, atHigh) = (plan.Physical(low ^ sign), plan.Physical(high ^ sign));
            tally.Widen(Math.Min(atLow, atHigh), Math.Max(atLow, atHigh));
        }
        else
        {
            tally.Of(quality).Add(block.Count, new FrameTime(block.Times[0]), new FrameTime(block.Times[^1]));
        }

        return true;
    }

    /// <summary>The range of the values in rows that all hold the signal; none where not every one of them is valid.</summary>
    /// <param name="plan">A plain signal.</param>
    /// <param name="rows">At least one.</param>
    /// <param name="stride">Bytes of a row, 8 or 64.</param>
    public static ValueRange Range(SignalPlan plan, ReadOnlySpan<byte> rows, int stride)
    {
        var (low, high) = Keys(plan, rows, stride);
        if (!plan.Qualities!.IsEmpty && !plan.Qualities.AreOk(low, high))
        {
            return ValueRange.None;
        }

        var (atLow, atHigh) = (plan.Physical(low ^ plan.Sign), plan.Physical(high ^ plan.Sign));
        return new ValueRange(Math.Min(atLow, atHigh), Math.Max(atLow, atHigh));
    }

    /// <summary>Adds the block row by row: the exact way, for every kind of signal.</summary>
    public static void AddEach(SignalPlan plan, MessageBlock block, SignalTally tally)
    {
        var largestRate = plan.Definition.LargestRate;
        for (var row = 0; row < block.Count; row++)
        {
            var at = new FrameTime(block.Times[row]);
            tally.Add(tally.Rate.Judge(plan.Read(block.Payload(row)), at, largestRate), at);
        }
    }

    private static (ulong Low, ulong High) Keys(SignalPlan plan, ReadOnlySpan<byte> rows, int stride)
    {
        ref readonly var window = ref plan.Window;
        return stride == Payload.ClassicCapacity
            ? Keys(new ShortRows(rows), in window, plan.Sign)
            : Keys(new LongRows(rows, window.Offset), in window, plan.Sign);
    }

    private static (ulong Low, ulong High) Keys<TRows>(TRows rows, in BitWindow window, ulong sign)
        where TRows : IRows, allows ref struct =>
        window.Mask <= uint.MaxValue ? NarrowKeys(rows, in window, (uint)sign) : WideKeys(rows, in window, sign);

    // Keys of at most 32 bits in 64-bit places: the upper halves stay zero, so that the smallest and largest of 32-bit places,
    // which every processor has an instruction for, are those of the keys.
    private static (ulong Low, ulong High) NarrowKeys<TRows>(TRows rows, in BitWindow window, uint sign)
        where TRows : IRows, allows ref struct
    {
        var order = window.IsSwapped ? reversed : straight;
        var shift = window.Shift;
        var mask = Vector128.Create(window.Mask);
        var flip = Vector128.Create((ulong)sign);
        var lows = Vector128.Create(ulong.MaxValue).AsUInt32();
        var highs = Vector128<uint>.Zero;
        for (var pair = 0; pair < rows.Pairs; pair++)
        {
            var words = Vector128.ShuffleNative(rows.Pair(pair), order).AsUInt64();
            var keys = (((words >>> shift) & mask) ^ flip).AsUInt32();
            lows = Vector128.Min(lows, keys);
            highs = Vector128.Max(highs, keys);
        }

        // The last row by itself, whether or not it has a partner.
        var last = (uint)window.Cut(rows.Last) ^ sign;
        return (Math.Min(Math.Min(lows[0], lows[2]), last), Math.Max(Math.Max(highs[0], highs[2]), last));
    }

    // Keys of less than 64 bits, so that they are positive: there is an instruction to compare signed 64-bit places only.
    private static (ulong Low, ulong High) WideKeys<TRows>(TRows rows, in BitWindow window, ulong sign)
        where TRows : IRows, allows ref struct
    {
        var order = window.IsSwapped ? reversed : straight;
        var shift = window.Shift;
        var mask = Vector128.Create(window.Mask);
        var flip = Vector128.Create(sign);
        var lows = Vector128.Create(long.MaxValue);
        var highs = Vector128<long>.Zero;
        for (var pair = 0; pair < rows.Pairs; pair++)
        {
            var words = Vector128.ShuffleNative(rows.Pair(pair), order).AsUInt64();
            var keys = (((words >>> shift) & mask) ^ flip).AsInt64();
            lows = Vector128.Min(lows, keys);
            highs = Vector128.Max(highs, keys);
        }

        var last = (long)(window.Cut(rows.Last) ^ sign);
        return ((ulong)Math.Min(Math.Min(lows[0], lows[1]), last), (ulong)Math.Max(Math.Max(highs[0], highs[1]), last));
    }

    /// <summary>Eight bytes of each row of a block, two rows at once. At least one row.</summary>
    private interface IRows
    {
        int Pairs { get; }

        ulong Last { get; }

        Vector128<byte> Pair(int number);
    }

    private readonly ref struct ShortRows(ReadOnlySpan<byte> rows) : IRows
    {
        private readonly ReadOnlySpan<byte> rows = rows;
        private readonly ReadOnlySpan<Vector128<byte>> pairs = MemoryMarshal.Cast<byte, Vector128<byte>>(rows);

        public int Pairs => pairs.Length;

        public ulong Last => BinaryPrimitives.ReadUInt64LittleEndian(rows[^Payload.ClassicCapacity..]);

        public Vector128<byte> Pair(int number) => pairs[number];
    }

    /// <param name="rows">64 bytes each.</param>
    /// <param name="offset">Where in each the window begins.</param>
    private readonly ref struct LongRows(ReadOnlySpan<byte> rows, int offset) : IRows
    {
        private readonly ReadOnlySpan<byte> rows = rows;

        public int Pairs => rows.Length / (2 * Payload.Capacity);

        public ulong Last => BinaryPrimitives.ReadUInt64LittleEndian(rows[(rows.Length - Payload.Capacity + offset)..]);

        public Vector128<byte> Pair(int number)
        {
            var both = rows.Slice(number * 2 * Payload.Capacity, 2 * Payload.Capacity);
            return Vector128.Create(BinaryPrimitives.ReadUInt64LittleEndian(both[offset..]), BinaryPrimitives.ReadUInt64LittleEndian(both[(Payload.Capacity + offset)..])).AsByte();
        }
    }
}
