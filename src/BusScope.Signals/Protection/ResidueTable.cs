using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;

namespace BusScope.Signals.Protection;

/// <summary>What eight payload bytes make of the difference between a checksum field and what it must hold: 16 entries for each half of a byte. Frozen.</summary>
internal sealed class ResidueTable
{
    /// <summary>Bits of eight bytes.</summary>
    public const int Bits = 64;

    private const int BitsOfHalf = 4;
    private const int Halves = Bits / BitsOfHalf;
    private const int Values = 1 << BitsOfHalf;

    private readonly Vectors vectors;

    /// <summary>Makes the table.</summary>
    /// <param name="effects">What each bit changes by itself, from the lowest bit of the first byte on; 64 of them.</param>
    public ResidueTable(ReadOnlySpan<byte> effects)
    {
        Span<byte> entries = stackalloc byte[Values];
        for (var half = 0; half < Halves; half++)
        {
            // A value is a smaller one with one more bit, its highest.
            entries[0] = 0;
            for (var value = 1; value < Values; value++)
            {
                var highest = int.Log2(value);
                entries[value] = (byte)(entries[value - (1 << highest)] ^ effects[(half * BitsOfHalf) + highest]);
            }

            vectors[half] = Vector128.Create<byte>(entries);
        }
    }

    /// <summary>What eight bytes make of the difference together.</summary>
    /// <param name="bytes">The first byte lowest.</param>
    public byte Of(ulong bytes)
    {
        byte difference = 0;
        for (var half = 0; half < Halves; half++)
        {
            difference ^= vectors[half][(int)(bytes >> (half * BitsOfHalf)) & (Values - 1)];
        }

        return difference;
    }

    /// <summary>What one byte of sixteen payloads makes of the difference of each.</summary>
    /// <param name="index">The byte, 0 to 7.</param>
    /// <param name="bytes">That byte of each payload.</param>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public Vector128<byte> Of(int index, Vector128<byte> bytes)
    {
        var lowest = Vector128.Create((byte)(Values - 1));
        ReadOnlySpan<Vector128<byte>> halves = vectors;
        return Vector128.ShuffleNative(halves[2 * index], bytes & lowest) ^ Vector128.ShuffleNative(halves[(2 * index) + 1], (bytes >>> BitsOfHalf) & lowest);
    }

    [InlineArray(Halves)]
    private struct Vectors
    {
        private Vector128<byte> first;
    }
}
