using System.Buffers;
using System.Globalization;
using BusScope.Frames;
using BusScope.Frames.Diagnostics;
using BusScope.Signals.Definitions;

namespace BusScope.Signals.Loading;

/// <summary>The forms in which the definition file writes numbers, times, rates, positions and ranges.</summary>
public static class Literal
{
    private static readonly (string Unit, long Nanoseconds)[] timeUnits =
    [
        ("ns", 1),
        ("us", FrameSpan.NanosecondsPerMicrosecond),
        ("µs", FrameSpan.NanosecondsPerMicrosecond),
        ("ms", FrameSpan.NanosecondsPerMillisecond),
        ("s", FrameSpan.NanosecondsPerSecond),
        ("min", 60 * FrameSpan.NanosecondsPerSecond),
    ];

    private static readonly SearchValues<char> positionCharacters = SearchValues.Create("0123456789.");

    private static readonly (string Unit, long BitsPerSecond)[] rateUnits = [("bit/s", 1), ("kbit/s", 1_000), ("Mbit/s", 1_000_000)];

    /// <summary>The most characters of a name.</summary>
    public const int LongestName = 128;

    /// <summary>The most characters of a text.</summary>
    public const int LongestText = 1_000;

    /// <summary>The longest time a definition may name.</summary>
    public static FrameSpan LongestDuration { get; } = new(24 * 3600 * FrameSpan.NanosecondsPerSecond);

    /// <summary>
    /// Whether a text can be a name. Names of signals, messages and computed signals stand in expressions, so they are letters,
    /// digits and underscores; other names may have hyphens and points too.
    /// </summary>
    public static bool IsName(string text, bool inExpressions) =>
        text.Length is > 0 and <= LongestName && (char.IsLetter(text[0]) || text[0] == '_' || (!inExpressions && char.IsAsciiDigit(text[0])))
        && text.All(c => char.IsLetter(c) || char.IsAsciiDigit(c) || c == '_' || (!inExpressions && c is '-' or '.'));

    /// <summary>Whether a text is one for a person, or for a machine to compare: one line, no control characters, and not endless.</summary>
    public static bool IsText(string text) => text.Length <= LongestText && ReferenceEquals(CleanText.Clean(text), text);

    /// <summary>Whether a text can be the name of a bus: captures call their buses as they like, so it is any text that is not blank.</summary>
    public static bool IsBusName(string text) => !string.IsNullOrWhiteSpace(text) && IsText(text);

    /// <summary>A whole number: decimal, or with <c>0x</c> or <c>0b</c>.</summary>
    public static bool TryWhole(ReadOnlySpan<char> text, out Int128 value)
    {
        var negative = text.StartsWith("-");
        var digits = negative ? text[1..] : text;
        var read = digits switch
        {
            _ when digits.StartsWith("0x", StringComparison.OrdinalIgnoreCase) => Based(digits[2..], 16, out value),
            _ when digits.StartsWith("0b", StringComparison.OrdinalIgnoreCase) => Based(digits[2..], 2, out value),
            _ => Based(digits, 10, out value),
        };
        value = negative ? -value : value;
        return read;
    }

    /// <summary>A number: decimal with a point and an exponent, or a whole number in any of its forms. Never infinite.</summary>
    public static bool TryNumber(ReadOnlySpan<char> text, out double value)
    {
        if (TryWhole(text, out var whole))
        {
            value = (double)whole;
            return true;
        }

        return double.TryParse(text, NumberStyles.AllowLeadingSign | NumberStyles.AllowDecimalPoint | NumberStyles.AllowExponent, CultureInfo.InvariantCulture, out value)
            && double.IsFinite(value);
    }

    /// <summary>A time with its unit: <c>10 ms</c>. More than nothing, and at most <see cref="LongestDuration"/>.</summary>
    public static bool TryDuration(string text, out FrameSpan value)
    {
        value = default;
        if (!TryUnit(text, timeUnits, out var nanoseconds) || nanoseconds < 1 || nanoseconds > LongestDuration.Nanoseconds)
        {
            return false;
        }

        value = new FrameSpan((long)Math.Round(nanoseconds));
        return true;
    }

    /// <summary>A bit rate with its unit: <c>500 kbit/s</c>. From 1 kbit/s to 20 Mbit/s, the span of CAN and CAN FD controllers.</summary>
    public static bool TryBitRate(string text, out long value)
    {
        var read = TryUnit(text, rateUnits, out var rate) && rate is >= 1_000 and <= 20_000_000;
        value = read ? (long)Math.Round(rate) : 0;
        return read;
    }

    /// <summary>A bit position: <c>3.7</c>.</summary>
    public static bool TryPosition(string text, out BitPosition value)
    {
        var point = text.IndexOf('.', StringComparison.Ordinal);
        value = default;
        if (point < 0 || text.AsSpan().ContainsAnyExcept(positionCharacters) || !TryWhole(text.AsSpan(0, point), out var inByte) || !TryWhole(text.AsSpan(point + 1), out var bit)
            || inByte < 0 || inByte >= Payload.Capacity || bit < 0 || bit > 7)
        {
            return false;
        }

        value = new BitPosition((int)inByte, (int)bit);
        return true;
    }

    /// <summary>Payload bytes as pairs of hexadecimal digits, blanks between bytes: <c>0F A0 7B</c>. At most 64.</summary>
    public static bool TryPayload(string text, out byte[] payload)
    {
        payload = [];
        var digits = text.Replace(" ", "", StringComparison.Ordinal);
        if (digits.Length % 2 != 0 || digits.Length > Payload.Capacity * 2 || !digits.All(char.IsAsciiHexDigit) || text.Split(' ').Any(part => part.Length % 2 != 0))
        {
            return false;
        }

        payload = Convert.FromHexString(digits);
        return true;
    }

    /// <summary>The two ends of <c>a..b</c>, without blanks; both the whole text where it is no range.</summary>
    public static bool SplitRange(string text, out string from, out string to)
    {
        var dots = text.IndexOf("..", StringComparison.Ordinal);
        from = (dots < 0 ? text : text[..dots]).Trim();
        to = (dots < 0 ? text : text[(dots + 2)..]).Trim();
        return dots >= 0;
    }

    private static bool TryUnit(string text, (string Unit, long Factor)[] units, out double value)
    {
        value = 0;
        var end = text.Length;
        while (end > 0 && !char.IsAsciiDigit(text[end - 1]) && text[end - 1] != '.')
        {
            end--;
        }

        var unit = text[end..].Trim();
        foreach (var (name, factor) in units)
        {
            if (unit == name && TryNumber(text.AsSpan(0, end), out var number))
            {
                value = number * factor;
                return true;
            }
        }

        return false;
    }

    // 20 digits hold every 64-bit number; more would be cut, so they are refused.
    private static bool Based(ReadOnlySpan<char> digits, int numberBase, out Int128 value)
    {
        value = 0;
        if (digits.IsEmpty || digits.Length > 64)
        {
            return false;
        }

        foreach (var c in digits)
        {
            var digit = char.IsAsciiHexDigit(c) ? Convert.ToInt32(c.ToString(), 16) : 99;
            if (digit >= numberBase || value > (Int128)ulong.MaxValue)
            {
                return false;
            }

            value = (value * numberBase) + digit;
        }

        return value <= ulong.MaxValue;
    }
}
