using System.Runtime.Intrinsics;
using BusScope.Frames;

namespace BusScope.Signals.Plans;

/// <summary>Finds the smallest and the largest key of any field in the rows of a block, two or four rows at once.</summary>
internal static class RowScan
{
    /// <summary>The smallest and the largest key of all rows.</summary>
    /// <param name="rows">At least one row.</param>
    /// <param name="stride">Bytes of a row, 8 or 64.</param>
    /// <param name="window">The field, of less than 64 bits.</param>
    /// <param name="sign">The sign bit of a signed field, or 0.</param>
    public static (ulong Low, ulong High) Keys(ReadOnlySpan<byte> rows, int stride, in BitWindow window, ulong sign)
    {
        if (stride == Payload.ClassicCapacity)
        {
            var brief = new ShortRows(rows, in window);
            return Keys(in brief, in window, sign);
        }

        var lengthy = new LongRows(rows, in window);
        return Keys(in lengthy, in window, sign);
    }

    private static (ulong Low, ulong High) Keys<TRows>(in TRows rows, in BitWindow window, ulong sign)
        where TRows : IFieldRows, allows ref struct =>
        window.HasLane ? LaneKeys(in rows, in window, sign) : WindowKeys(in rows, in window, sign);

    // A field within four bytes: four rows at once, the field left where it stands in them, because neither the smallest nor the largest of
    // several depends on that.
    private static (ulong Low, ulong High) LaneKeys<TRows>(in TRows rows, in BitWindow window, ulong sign)
        where TRows : IFieldRows, allows ref struct
    {
        var shift = window.LaneShift;
        var mask = Vector128.Create((uint)(window.Mask << shift));
        var flip = Vector128.Create((uint)(sign << shift));
        var (lows, highs) = (Vector128<uint>.AllBitsSet, Vector128<uint>.Zero);
        var quads = rows.Quads;
        var here = rows;
        for (var quad = 0; quad < quads; quad++)
        {
            var keys = (here.Lanes(quad) & mask) ^ flip;
            lows = Vector128.Min(lows, keys);
            highs = Vector128.Max(highs, keys);
        }

        lows = Vector128.Min(lows, Vector128.Shuffle(lows, Vector128.Create(2u, 3, 0, 1)));
        highs = Vector128.Max(highs, Vector128.Shuffle(highs, Vector128.Create(2u, 3, 0, 1)));
        var (low, high) = quads > 0 ? (Math.Min(lows[0], lows[1]) >> shift, Math.Max(highs[0], highs[1]) >> shift) : (uint.MaxValue, 0);
        return WithRest(in rows, quads * 4, in window, sign, low, high);
    }

    // Keys of less than 64 bits, so that they are positive: there is an instruction to compare signed 64-bit places only.
    private static (ulong Low, ulong High) WindowKeys<TRows>(in TRows rows, in BitWindow window, ulong sign)
        where TRows : IFieldRows, allows ref struct
    {
        var shift = window.Shift;
        var mask = Vector128.Create(window.Mask);
        var flip = Vector128.Create(sign);
        var lows = Vector128.Create(long.MaxValue);
        var highs = Vector128<long>.Zero;
        var pairs = rows.Pairs;
        for (var pair = 0; pair < pairs; pair++)
        {
            var keys = (((rows.Windows(pair) >>> shift) & mask) ^ flip).AsInt64();
            lows = Vector128.Min(lows, keys);
            highs = Vector128.Max(highs, keys);
        }

        return WithRest(in rows, pairs * 2, in window, sign, (ulong)Math.Min(lows[0], lows[1]), (ulong)Math.Max(highs[0], highs[1]));
    }

    private static (ulong Low, ulong High) WithRest<TRows>(in TRows rows, int from, in BitWindow window, ulong sign, ulong low, ulong high)
        where TRows : IFieldRows, allows ref struct
    {
        for (var row = from; row < rows.Count; row++)
        {
            var key = window.Cut(rows.Window(row)) ^ sign;
            low = Math.Min(low, key);
            high = Math.Max(high, key);
        }

        return (low, high);
    }
}
