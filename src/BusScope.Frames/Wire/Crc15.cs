using System.Runtime.CompilerServices;

namespace BusScope.Frames.Wire;

/// <summary>
/// The checksum of a Classical CAN frame: x^15 + x^14 + x^10 + x^8 + x^7 + x^4 + x^3 + 1, the register starting at zero
/// (ISO 11898-1, CRC_15). As it starts at zero, zero bits before the first one change nothing, so a frame may be filled up to whole bytes
/// in front; and the checksum is the exclusive or of what each byte adds at its place, so no byte waits for the one before.
/// </summary>
internal static class Crc15
{
    /// <summary>The most bytes that can be looked at: 39 bits of header, filled up to five bytes, and eight of data.</summary>
    public const int MostBytes = 13;

    private const int Polynomial = 0x4599;
    private const int Width = 15;
    private const int Mask = 0x7FFF;

    private static readonly ushort[] table = MakeTable();

    /// <summary>What a byte adds to the checksum when so many bytes, 0 to 12, follow it.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static int Part(byte value, int bytesAfter) => table[(bytesAfter << 8) | value];

    /// <summary>The checksum of at most <see cref="MostBytes"/> whole bytes.</summary>
    public static int Of(ReadOnlySpan<byte> bytes)
    {
        var checksum = 0;
        for (var i = 0; i < bytes.Length; i++)
        {
            checksum ^= Part(bytes[i], bytes.Length - 1 - i);
        }

        return checksum;
    }

    private static ushort[] MakeTable()
    {
        var made = new ushort[MostBytes << 8];
        for (var value = 0; value < 256; value++)
        {
            var register = value << (Width - 8);
            for (var after = 0; after < MostBytes; after++)
            {
                for (var bit = 0; bit < 8; bit++)
                {
                    register = (register << 1) ^ ((register & (1 << (Width - 1))) != 0 ? Polynomial : 0);
                }

                register &= Mask;
                made[(after << 8) | value] = (ushort)register;
            }
        }

        return made;
    }
}
