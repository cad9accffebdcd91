using BusScope.Signals.Definitions;

namespace BusScope.Signals.Loading;

/// <summary>The special raw values of SAE J1939-71 by field length.</summary>
internal static class StandardRawRanges
{
    /// <summary>
    /// The ranges of a field of so many bits, or null where the standard has none. Whole bytes are classed by the top byte:
    /// FB parameter specific, FC and FD reserved, FE error, FF not available. Of a two-bit status, 10 is error and 11 not
    /// available; of four bits, 1110 and 1111 (four bits: from memory of the standard).
    /// </summary>
    public static (RawRange? Reserved, RawRange Error, RawRange NotAvailable)? Of(int bits)
    {
        if (bits is 2 or 4)
        {
            var top = (1UL << bits) - 1;
            return (null, new RawRange(top - 1, top - 1), new RawRange(top, top));
        }

        if (bits is < 8 or > 64 || bits % 8 != 0)
        {
            return null;
        }

        var below = bits - 8;
        var rest = (1UL << below) - 1;
        return (Top(0xFB, 0xFD), Top(0xFE, 0xFE), Top(0xFF, 0xFF));

        RawRange Top(ulong from, ulong to) => new(from << below, (to << below) | rest);
    }
}
