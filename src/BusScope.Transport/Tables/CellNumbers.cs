using System.Runtime.CompilerServices;

namespace BusScope.Transport.Tables;

/// <summary>Numbers, flags and bytes in the cells of a table, read straight from UTF-8. None of these allocates or throws.</summary>
internal static class CellNumbers
{
    private const byte NotHex = 0xFF;

    private static readonly byte[] hexDigits = MakeHexDigits();

    /// <summary>A hexadecimal number without sign, with or without <c>0x</c>; false above 64 bits or for anything else.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static bool TryHex(ReadOnlySpan<byte> text, out ulong value)
    {
        value = 0;
        text = WithoutPrefix(text);
        var bad = text.Length == 0;
        foreach (var c in text)
        {
            var digit = hexDigits[c];
            bad |= digit == NotHex || value >> 60 != 0;
            value = (value << 4) | digit;
        }

        return !bad;
    }

    /// <summary>A decimal number without sign; false above 19 digits or for anything else.</summary>
    public static bool TryDecimal(ReadOnlySpan<byte> text, out ulong value)
    {
        value = 0;
        if (text.Length is 0 or > 19)
        {
            return false;
        }

        foreach (var c in text)
        {
            var digit = (uint)c - '0';
            if (digit > 9)
            {
                return false;
            }

            value = (value * 10) + digit;
        }

        return true;
    }

    /// <summary>One byte: one or two hexadecimal digits, with or without <c>0x</c>.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static bool TryByte(ReadOnlySpan<byte> text, out byte value)
    {
        if (text.Length == 2)
        {
            int high = hexDigits[text[0]], low = hexDigits[text[1]];
            value = (byte)((high << 4) | low);
            return (high | low) != NotHex;
        }

        var isNumber = TryHex(text, out var number) && number <= byte.MaxValue;
        value = (byte)number;
        return isNumber;
    }

    /// <summary>
    /// Bytes one after the other in pairs of digits, with or without blanks, dashes or colons between them and <c>0x</c> before each;
    /// between marks a single digit is a byte too. Returns how many bytes, -1 for anything else, -2 for more than <paramref name="room"/> has.
    /// </summary>
    public static int ReadBytes(ReadOnlySpan<byte> text, Span<byte> room)
    {
        var count = 0;
        while (text.Length > 0)
        {
            if (text[0] is (byte)' ' or (byte)'-' or (byte)':' or (byte)',')
            {
                text = text[1..];
                continue;
            }

            var mark = text.IndexOfAny(" -:,"u8);
            var run = WithoutPrefix(mark < 0 ? text : text[..mark]);
            text = mark < 0 ? [] : text[mark..];
            if (run.Length == 0 || (run.Length % 2 != 0 && run.Length != 1))
            {
                return -1;
            }

            for (; run.Length > 0; run = run[Math.Min(2, run.Length)..])
            {
                if (count == room.Length)
                {
                    return -2;
                }

                if (!TryByte(run[..Math.Min(2, run.Length)], out room[count++]))
                {
                    return -1;
                }
            }
        }

        return count;
    }

    /// <summary>Yes, no, or null for a text that says neither. An empty cell says no.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static bool? Flag(ReadOnlySpan<byte> text) => text switch
    {
        [] or [(byte)'0'] => false,
        [(byte)'1'] => true,
        _ => FlagWord(text),
    };

    private static bool? FlagWord(ReadOnlySpan<byte> text) => (text[0] | 0x20) switch
    {
        'f' when Is(text, "false"u8) || text.Length == 1 => false,
        't' when Is(text, "true"u8) || text.Length == 1 => true,
        'n' when Is(text, "no"u8) || text.Length == 1 => false,
        'y' when Is(text, "yes"u8) || text.Length == 1 => true,
        'x' when text.Length == 1 => true,
        '-' when text.Length == 1 => false,
        _ => null,
    };

    /// <summary>Whether the text is this word, in any case.</summary>
    public static bool Is(ReadOnlySpan<byte> text, ReadOnlySpan<byte> word) => System.Text.Ascii.EqualsIgnoreCase(text, word);

    private static ReadOnlySpan<byte> WithoutPrefix(ReadOnlySpan<byte> text) => text is [(byte)'0', (byte)'x' or (byte)'X', ..] ? text[2..] : text;

    private static byte[] MakeHexDigits()
    {
        var digits = new byte[256];
        digits.AsSpan().Fill(NotHex);
        for (byte i = 0; i < 16; i++)
        {
            digits["0123456789ABCDEF"[i]] = i;
            digits["0123456789abcdef"[i]] = i;
        }

        return digits;
    }
}
