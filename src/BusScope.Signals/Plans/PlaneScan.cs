using System.Runtime.Intrinsics;

namespace BusScope.Signals.Plans;

/// <summary>
/// Finds the smallest and the largest key of a field of one or two payload bytes. The field is left where it stands in them, because neither
/// the smallest nor the largest of several depends on that.
/// </summary>
internal static class PlaneScan
{
    /// <summary>The smallest and the largest key of all rows, of which there is at least one.</summary>
    /// <param name="planes">The rows.</param>
    /// <param name="window">The field.</param>
    /// <param name="sign">The sign bit of a signed field, or 0.</param>
    public static (ulong Low, ulong High) Keys(BytePlanes planes, in BitWindow window, ulong sign)
    {
        var shift = window.ByteShift;
        var (low, high) = window.Bytes == 1
            ? OfOneByte(planes[window.LowestByte], (byte)(window.Mask << shift), (byte)(sign << shift))
            : OfTwoBytes(planes[window.LowestByte], planes[window.HighestByte], (ushort)(window.Mask << shift), (ushort)(sign << shift));
        return ((ulong)low >> shift, (ulong)high >> shift);
    }

    private static (uint Low, uint High) OfOneByte(ReadOnlySpan<Vector128<byte>> plane, byte mask, byte flip)
    {
        var (masks, flips) = (Vector128.Create(mask), Vector128.Create(flip));
        var (lows, highs) = (Vector128<byte>.AllBitsSet, Vector128<byte>.Zero);
        foreach (ref readonly var bytes in plane)
        {
            var keys = (bytes & masks) ^ flips;
            lows = Vector128.Min(lows, keys);
            highs = Vector128.Max(highs, keys);
        }

        // What comes in from above is zero, and reaches no byte that is asked for below.
        lows = Vector128.Min(lows, (lows.AsUInt64() >>> 32).AsByte());
        lows = Vector128.Min(lows, (lows.AsUInt64() >>> 16).AsByte());
        lows = Vector128.Min(lows, (lows.AsUInt64() >>> 8).AsByte());
        highs = Vector128.Max(highs, (highs.AsUInt64() >>> 32).AsByte());
        highs = Vector128.Max(highs, (highs.AsUInt64() >>> 16).AsByte());
        highs = Vector128.Max(highs, (highs.AsUInt64() >>> 8).AsByte());
        return (Math.Min(lows[0], lows[8]), Math.Max(highs[0], highs[8]));
    }

    private static (uint Low, uint High) OfTwoBytes(ReadOnlySpan<Vector128<byte>> lower, ReadOnlySpan<Vector128<byte>> upper, ushort mask, ushort flip)
    {
        var (masks, flips) = (Vector128.Create(mask), Vector128.Create(flip));
        var (lows, highs) = (Vector128<ushort>.AllBitsSet, Vector128<ushort>.Zero);
        for (var i = 0; i < lower.Length && i < upper.Length; i++)
        {
            var first = (Interleaving.LowerBytes(lower[i], upper[i]).AsUInt16() & masks) ^ flips;
            var last = (Interleaving.UpperBytes(lower[i], upper[i]).AsUInt16() & masks) ^ flips;
            lows = Vector128.Min(lows, Vector128.Min(first, last));
            highs = Vector128.Max(highs, Vector128.Max(first, last));
        }

        lows = Vector128.Min(lows, (lows.AsUInt64() >>> 32).AsUInt16());
        lows = Vector128.Min(lows, (lows.AsUInt64() >>> 16).AsUInt16());
        highs = Vector128.Max(highs, (highs.AsUInt64() >>> 32).AsUInt16());
        highs = Vector128.Max(highs, (highs.AsUInt64() >>> 16).AsUInt16());
        return (Math.Min(lows[0], lows[4]), Math.Max(highs[0], highs[4]));
    }
}
