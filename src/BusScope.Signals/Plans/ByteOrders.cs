using System.Runtime.Intrinsics;

namespace BusScope.Signals.Plans;

/// <summary>Which of 16 bytes go where, so that those of a field come to stand least significant first.</summary>
internal static class ByteOrders
{
    // One in each of four bytes.
    private const uint Each = 0x0101_0101;

    // Eight times "a zero byte".
    private const ulong Nothing = 0x8080_8080_8080_8080;

    /// <summary>As they stand.</summary>
    public static Vector128<byte> Same { get; } = Vector128.Create((byte)0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15);

    /// <summary>Each eight turned round.</summary>
    public static Vector128<byte> SwappedEights { get; } = Vector128.Create((byte)7, 6, 5, 4, 3, 2, 1, 0, 15, 14, 13, 12, 11, 10, 9, 8);

    /// <summary>Each four turned round.</summary>
    public static Vector128<byte> SwappedFours { get; } = Vector128.Create((byte)3, 2, 1, 0, 7, 6, 5, 4, 11, 10, 9, 8, 15, 14, 13, 12);

    /// <summary>Four bytes out of each eight, brought into the lower half or into the upper, with zeros in the other.</summary>
    /// <param name="lane">Where the least significant of the four stands in the eight, counted from their own least significant; 0 to 4.</param>
    /// <param name="isSwapped">Whether the last of the eight is the least significant.</param>
    public static (Vector128<byte> Lower, Vector128<byte> Upper) Fours(int lane, bool isSwapped)
    {
        var first = isSwapped ? 0x0405_0607 - ((uint)lane * Each) : 0x0302_0100 + ((uint)lane * Each);
        var both = first | ((ulong)(first + (8 * Each)) << 32);
        return (Vector128.Create(both, Nothing).AsByte(), Vector128.Create(Nothing, both).AsByte());
    }
}
