using System.Runtime.CompilerServices;

namespace BusScope.Frames.Wire;

/// <summary>
/// The checksum of a Classical CAN frame: x^15 + x^14 + x^10 + x^8 + x^7 + x^4 + x^3 + 1, the register starting at zero
/// (ISO 11898-1, CRC_15). As it starts at zero, zero bits before the first one change nothing: a frame may be filled up to whole bytes in front.
/// </summary>
internal static class Crc15
{
    private const int Polynomial = 0x4599;
    private const int Width = 15;
    private const int Mask = 0x7FFF;

    private static readonly ushort[] table = MakeTable();

    /// <summary>The register after one more byte, most significant bit first.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static int Next(int register, byte value) => ((register << 8) ^ table[(byte)((register >> (Width - 8)) ^ value)]) & Mask;

    /// <summary>The checksum of whole bytes.</summary>
    public static int Of(ReadOnlySpan<byte> bytes)
    {
        var register = 0;
        foreach (var value in bytes)
        {
            register = Next(register, value);
        }

        return register;
    }

    private static ushort[] MakeTable()
    {
        var made = new ushort[256];
        for (var value = 0; value < made.Length; value++)
        {
            var register = value << (Width - 8);
            for (var bit = 0; bit < 8; bit++)
            {
                register = (register << 1) ^ ((register & (1 << (Width - 1))) != 0 ? Polynomial : 0);
            }

            made[value] = (ushort)(register & Mask);
        }

        return made;
    }
}
