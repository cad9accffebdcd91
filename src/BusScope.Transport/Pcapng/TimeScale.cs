using BusScope.Frames;

namespace BusScope.Transport.Pcapng;

/// <summary>
/// How the 64-bit ticks of one interface become nanoseconds since the epoch (draft-ietf-opsawg-pcapng, section 4.2, options
/// if_tsresol and if_tsoffset): exact in integers, rounded to the nearest nanosecond, halves up, where ticks are finer.
/// </summary>
internal readonly struct TimeScale
{
    private const byte BinaryBit = 0x80;
    private const int NanosecondDigits = 9;

    // From here on 64 bits of ticks, or of ticks in nanoseconds, are less than half a nanosecond.
    private const int VanishingDigits = 20;
    private const int VanishingBits = 96;

    private readonly ulong factor;
    private readonly UInt128 divisor;
    private readonly int shift;
    private readonly Int128 offset;

    /// <summary>The scale of an interface.</summary>
    /// <param name="resolution">if_tsresol: a negative power of ten, or of two with the highest bit set.</param>
    /// <param name="offsetSeconds">if_tsoffset: seconds to add.</param>
    public TimeScale(byte resolution, long offsetSeconds)
    {
        offset = (Int128)offsetSeconds * FrameSpan.NanosecondsPerSecond;
        factor = FrameSpan.NanosecondsPerSecond;
        divisor = 1;
        if ((resolution & BinaryBit) != 0)
        {
            shift = resolution & ~BinaryBit;
        }
        else if (resolution <= NanosecondDigits)
        {
            factor = PowerOfTen(NanosecondDigits - resolution);
        }
        else
        {
            factor = 1;
            // A divisor of 0 stands for one beyond all ticks.
            divisor = resolution - NanosecondDigits < VanishingDigits ? PowerOfTen(resolution - NanosecondDigits) : 0;
        }

        (FastFactor, FastOffset, FastEnd) = Fast();
    }

    /// <summary>Nanoseconds in a tick, where the simple way can be taken.</summary>
    public long FastFactor { get; }

    /// <summary>Nanoseconds to add, where the simple way can be taken.</summary>
    public long FastOffset { get; }

    /// <summary>Below this many ticks the time is just ticks × <see cref="FastFactor"/> + <see cref="FastOffset"/>; 0 for no ticks at all.</summary>
    public ulong FastEnd { get; }

    /// <summary>The time of so many ticks.</summary>
    /// <returns>False when the time lies outside the range that can be held; it is then held at the end of that range.</returns>
    public bool TryConvert(ulong ticks, out FrameTime time)
    {
        var nanoseconds = (Int128)Scaled(ticks) + offset;
        // The least value stands for "never".
        var held = Int128.Clamp(nanoseconds, long.MinValue + 1, long.MaxValue);
        time = new FrameTime((long)held);
        return held == nanoseconds;
    }

    private UInt128 Scaled(ulong ticks)
    {
        var product = (UInt128)ticks * factor;
        if (shift > 0)
        {
            return shift >= VanishingBits ? 0 : (product + (UInt128.One << (shift - 1))) >> shift;
        }

        return divisor == 0 ? 0 : divisor == 1 ? product : (product + (divisor / 2)) / divisor;
    }

    private (long Factor, long Offset, ulong End) Fast()
    {
        if (shift > 0 || divisor != 1 || offset < -long.MaxValue || offset > long.MaxValue)
        {
            return default;
        }

        // The product must fit by itself, and with the offset.
        var room = Int128.Min(long.MaxValue, long.MaxValue - offset);
        return ((long)factor, (long)offset, (ulong)room / factor);
    }

    private static ulong PowerOfTen(int exponent)
    {
        var power = 1UL;
        for (var i = 0; i < exponent; i++)
        {
            power *= 10;
        }

        return power;
    }
}
