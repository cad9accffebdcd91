using BusScope.Frames;

namespace BusScope.Transport.Tables;

/// <summary>Turns the time cells of a table into nanoseconds since the epoch, exactly: no floating point on the way.</summary>
internal sealed class TableClock(long unit, FrameSpan offset, FrameSpan? wrapsAfter, bool commaIsPoint)
{
    // Beyond nine digits of the largest unit, a second, lies less than a nanosecond.
    private const int MostFractionDigits = 9;

    private static readonly long[] powersOfTen = [1, 10, 100, 1_000, 10_000, 100_000, 1_000_000, 10_000_000, 100_000_000, 1_000_000_000];

    private long turns;
    private long last = long.MinValue;

    /// <summary>Reads a decimal number such as <c>-364000</c> or <c>12.000125</c>; false for anything else or out of range.</summary>
    public bool TryRead(ReadOnlySpan<byte> text, out FrameTime time)
    {
        time = default;
        if (!TryNanoseconds(text, out var nanoseconds))
        {
            return false;
        }

        var total = nanoseconds + offset.Nanoseconds;
        if (wrapsAfter is { } period)
        {
            total += Unwrap(nanoseconds, period.Nanoseconds);
        }

        if (total > long.MaxValue || total <= long.MinValue)
        {
            return false;
        }

        time = new FrameTime((long)total);
        return true;
    }

    private bool TryNanoseconds(ReadOnlySpan<byte> text, out Int128 nanoseconds)
    {
        nanoseconds = 0;
        var isNegative = text is [(byte)'-', ..];
        if (isNegative || text is [(byte)'+', ..])
        {
            text = text[1..];
        }

        var whole = 0L;
        var i = 0;
        for (; i < text.Length && (uint)text[i] - '0' <= 9; i++)
        {
            if (i == 18)
            {
                // 19 digits may still fit, as nanoseconds since the epoch do.
                return TryLong(text, isNegative, out nanoseconds);
            }

            whole = (whole * 10) + (text[i] - '0');
        }

        var fraction = 0L;
        if (i < text.Length)
        {
            if (!TryFraction(text[i..], out fraction) || text.Length == 1)
            {
                return false;
            }
        }
        else if (text.Length == 0)
        {
            return false;
        }

        nanoseconds = ((Int128)whole * unit) + fraction;
        nanoseconds = isNegative ? -nanoseconds : nanoseconds;
        return true;
    }

    private bool TryLong(ReadOnlySpan<byte> text, bool isNegative, out Int128 nanoseconds)
    {
        var fits = CellNumbers.TryDecimal(text, out var value);
        nanoseconds = (Int128)value * unit * (isNegative ? -1 : 1);
        return fits;
    }

    private bool TryFraction(ReadOnlySpan<byte> text, out long nanoseconds)
    {
        nanoseconds = 0;
        if (text[0] != '.' && !(commaIsPoint && text[0] == ','))
        {
            return false;
        }

        var value = 0L;
        var digits = 0;
        for (var i = 1; i < text.Length; i++)
        {
            var digit = (uint)text[i] - '0';
            if (digit > 9)
            {
                return false;
            }

            if (digits < MostFractionDigits)
            {
                value = (value * 10) + digit;
                digits++;
            }
        }

        // At most 10^9 times 10^9: fits. Units above a second do not exist here.
        nanoseconds = value * unit / powersOfTen[digits];
        return true;
    }

    // The clock of the recording falls back to zero again and again: choose the turn that puts the moment between a quarter of the
    // period before the latest and three quarters after it, so that buses a little out of order stay where they were.
    private Int128 Unwrap(Int128 nanoseconds, long period)
    {
        if (nanoseconds < 0 || nanoseconds > period)
        {
            return 0;
        }

        var now = (long)nanoseconds;
        if (last != long.MinValue)
        {
            var step = now + (turns * period) - last;
            turns += step < -(period / 4) ? 1 : step > period - (period / 4) && turns > 0 ? -1 : 0;
        }

        last = now + (turns * period);
        return (Int128)turns * period;
    }
}
