using System.Runtime.CompilerServices;

namespace BusScope.Frames;

/// <summary>Room for the 64 payload bytes of the longest CAN FD frame, inside the frame itself.</summary>
[InlineArray(Capacity)]
public struct Payload
{
    /// <summary>The most bytes a frame can carry (ISO 11898-1, CAN FD).</summary>
    public const int Capacity = 64;

    /// <summary>The most bytes a Classical CAN frame can carry.</summary>
    public const int ClassicCapacity = 8;

    private static readonly ulong[] FirstBytes =
    [
        0, 0xFF, 0xFFFF, 0xFF_FFFF, 0xFFFF_FFFF, 0xFF_FFFF_FFFF, 0xFFFF_FFFF_FFFF, 0xFF_FFFF_FFFF_FFFF, ulong.MaxValue,
    ];

    private byte first;

    /// <summary>The bits of so many bytes in a little-endian number, from the first byte on.</summary>
    /// <param name="length">0 to 8.</param>
    /// <exception cref="IndexOutOfRangeException">More than 8.</exception>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    internal static ulong Within(int length) => FirstBytes[length];
}
