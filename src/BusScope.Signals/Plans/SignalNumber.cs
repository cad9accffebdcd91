using BusScope.Signals.Definitions;

namespace BusScope.Signals.Plans;

/// <summary>The number behind the bits of a field: encoding, then scale and offset, and the way back.</summary>
internal readonly struct SignalNumber
{
    private const int BitsPerDigit = 4;
    private const int SingleBits = 32;

    private readonly SignalEncoding encoding;
    private readonly int length;
    private readonly double scale;
    private readonly double offset;

    /// <summary>Compiles a signal's encoding.</summary>
    public SignalNumber(SignalDefinition definition)
    {
        encoding = definition.Encoding;
        length = Math.Min(definition.Field.Length, 64);
        scale = definition.Scale;
        offset = definition.Offset;
        Sign = encoding == SignalEncoding.Signed ? 1UL << (length - 1) : 0;
    }

    /// <summary>The sign bit of a signed field, or 0.</summary>
    public ulong Sign { get; }

    private ulong Largest => length >= 64 ? ulong.MaxValue : (1UL << length) - 1;

    /// <summary>The physical value of a raw value, NaN where it is no number.</summary>
    public double Physical(ulong raw) => (Number(raw) * scale) + offset;

    /// <summary>The whole number that the bits say, or null where they say none.</summary>
    public long? Whole(ulong raw) => encoding switch
    {
        SignalEncoding.Unsigned => (long)raw,
        SignalEncoding.Signed => (long)((raw ^ Sign) - Sign),
        SignalEncoding.PackedDecimal when Digits(raw) is var digits && !double.IsNaN(digits) => (long)digits,
        _ => null,
    };

    /// <summary>The raw value nearest to a physical value, within what the field can hold.</summary>
    public ulong Raw(double physical)
    {
        var wanted = (physical - offset) / scale;
        if (double.IsNaN(wanted) && encoding != SignalEncoding.Float)
        {
            return 0;
        }

        switch (encoding)
        {
            case SignalEncoding.Float:
                return length == SingleBits ? BitConverter.SingleToUInt32Bits((float)wanted) : BitConverter.DoubleToUInt64Bits(wanted);
            case SignalEncoding.Unsigned:
                return Math.Min(ToUnsigned(wanted), Largest);
            case SignalEncoding.Signed:
                // Conversions from double saturate, so the ends of 64 bits need no case of their own.
                var most = (long)(Sign - 1);
                return (ulong)Math.Clamp((long)Math.Round(wanted), -most - 1, most) & Largest;
            case SignalEncoding.PackedDecimal:
                return Packed(ToUnsigned(wanted));
            default:
                return 0;
        }
    }

    private static ulong ToUnsigned(double wanted) => wanted <= 0 ? 0 : (ulong)Math.Round(wanted);

    private double Number(ulong raw) => encoding switch
    {
        SignalEncoding.Unsigned => raw,
        SignalEncoding.Signed => (long)((raw ^ Sign) - Sign),
        SignalEncoding.Float => length == SingleBits ? BitConverter.UInt32BitsToSingle((uint)raw) : BitConverter.UInt64BitsToDouble(raw),
        SignalEncoding.PackedDecimal => Digits(raw),
        _ => double.NaN,
    };

    private double Digits(ulong raw)
    {
        var value = 0UL;
        for (var at = (length - 1) / BitsPerDigit; at >= 0; at--)
        {
            var digit = (raw >> (at * BitsPerDigit)) & 0xF;
            if (digit > 9)
            {
                return double.NaN;
            }

            value = (value * 10) + digit;
        }

        return value;
    }

    private ulong Packed(ulong value)
    {
        var raw = 0UL;
        for (var at = 0; at < length / BitsPerDigit; at++)
        {
            raw |= value % 10 << (at * BitsPerDigit);
            value /= 10;
        }

        // More digits than there is room for: all nines, the largest that fits.
        return value == 0 ? raw : Packed(NinesFor(length / BitsPerDigit));
    }

    private static ulong NinesFor(int digits)
    {
        var nines = 0UL;
        for (var i = 0; i < digits; i++)
        {
            nines = (nines * 10) + 9;
        }

        return nines;
    }
}
