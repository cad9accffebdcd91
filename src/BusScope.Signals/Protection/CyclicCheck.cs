using BusScope.Signals.Definitions;

namespace BusScope.Signals.Protection;

/// <summary>
/// A cyclic redundancy check of 3 to 64 bits, by a table made once. A plain register stands at the top of 64 bits, a reflected
/// one at the bottom, so that every width takes whole bytes in the same way.
/// </summary>
public sealed class CyclicCheck
{
    private const int RegisterBits = 64;
    private const ulong TopBit = 1UL << (RegisterBits - 1);

    private readonly ulong[] table = new ulong[256];
    private readonly bool reflected;
    private readonly int unused;
    private readonly ulong final;

    /// <summary>Makes the table.</summary>
    /// <exception cref="ArgumentOutOfRangeException">A width outside 3 to 64.</exception>
    public CyclicCheck(CrcParameters parameters)
    {
        ArgumentNullException.ThrowIfNull(parameters);
        ArgumentOutOfRangeException.ThrowIfLessThan(parameters.Width, 3, nameof(parameters));
        ArgumentOutOfRangeException.ThrowIfGreaterThan(parameters.Width, RegisterBits, nameof(parameters));
        reflected = parameters.Reflected;
        unused = RegisterBits - parameters.Width;
        final = parameters.Final;
        Start = reflected ? Reflect(parameters.Start << unused) : parameters.Start << unused;
        var polynomial = reflected ? Reflect(parameters.Polynomial << unused) : parameters.Polynomial << unused;
        for (var i = 0; i < table.Length; i++)
        {
            table[i] = reflected ? DivideLow((ulong)i, polynomial) : DivideHigh((ulong)i << (RegisterBits - 8), polynomial);
        }
    }

    /// <summary>The register before the first byte.</summary>
    public ulong Start { get; }

    /// <summary>The register after further bytes.</summary>
    public ulong Add(ulong register, ReadOnlySpan<byte> bytes)
    {
        foreach (var next in bytes)
        {
            register = Add(register, next);
        }

        return register;
    }

    /// <summary>The register after one more byte.</summary>
    public ulong Add(ulong register, byte next) => reflected
        ? (register >> 8) ^ table[(byte)register ^ next]
        : (register << 8) ^ table[(byte)(register >> (RegisterBits - 8)) ^ next];

    /// <summary>The checksum that a register stands for.</summary>
    public ulong Finish(ulong register) => (reflected ? register : register >> unused) ^ final;

    /// <summary>The checksum of some bytes.</summary>
    public ulong Of(ReadOnlySpan<byte> bytes) => Finish(Add(Start, bytes));

    private static ulong Reflect(ulong value)
    {
        var mirrored = 0UL;
        for (var i = 0; i < RegisterBits; i++)
        {
            mirrored = (mirrored << 1) | ((value >> i) & 1);
        }

        return mirrored;
    }

    private static ulong DivideHigh(ulong register, ulong polynomial)
    {
        for (var bit = 0; bit < 8; bit++)
        {
            register = (register & TopBit) != 0 ? (register << 1) ^ polynomial : register << 1;
        }

        return register;
    }

    private static ulong DivideLow(ulong register, ulong polynomial)
    {
        for (var bit = 0; bit < 8; bit++)
        {
            register = (register & 1) != 0 ? (register >> 1) ^ polynomial : register >> 1;
        }

        return register;
    }
}
