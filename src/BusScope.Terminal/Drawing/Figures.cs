using System.Globalization;
using BusScope.Frames;

namespace BusScope.Terminal.Drawing;

/// <summary>Figures as a person reads them, written without allocating.</summary>
internal static class Figures
{
    /// <summary>A span in a field of seven columns: <c>  12 ms</c>, <c>  3.4 s</c>, <c>  14:02</c>.</summary>
    public const int SpanWidth = 7;

    /// <summary>The most characters of a moment.</summary>
    public const int LongestClock = 32;

    /// <summary>Writes a span right-aligned in <see cref="SpanWidth"/> columns, or a dash for none.</summary>
    public static void Span(ref this Pen pen, FrameSpan? span, Ink ink = Ink.Plain)
    {
        Span<char> text = stackalloc char[24];
        pen.Figure(text[..Format(span, text)], ink, SpanWidth);
    }

    /// <summary>Writes a span as short as it is.</summary>
    public static void ShortSpan(ref this Pen pen, FrameSpan? span, Ink ink = Ink.Plain)
    {
        Span<char> text = stackalloc char[24];
        pen.Figure(text[..Format(span, text)], ink);
    }

    /// <summary>Writes a span finely enough for jitter to be seen: <c>10.04 ms</c>, <c>500.3 ms</c>, <c>1.002 s</c>; a dash for none.</summary>
    public static void FineSpan(ref this Pen pen, FrameSpan? span, Ink ink = Ink.Plain)
    {
        switch (span)
        {
            case null: pen.Put('-', ink); break;
            case { Milliseconds: < 100 } fine: pen.Figure(fine.Milliseconds, "0.00' ms'", ink); break;
            case { Milliseconds: < 1_000 } middle: pen.Figure(middle.Milliseconds, "0.0' ms'", ink); break;
            case { } coarse: pen.Figure(coarse.Seconds, "0.000' s'", ink); break;
        }
    }

    /// <summary>Writes a span as short as it is into a text of at least 24 characters.</summary>
    public static bool TryWrite(FrameSpan span, Span<char> text, out int length)
    {
        length = text.Length >= 20 ? Format(span, text) : 0;
        return length > 0;
    }

    /// <summary>Writes a moment as the time since the first frame: <c>1:02.345</c>.</summary>
    public static void Clock(ref this Pen pen, FrameSpan since, Ink ink = Ink.Plain, int decimals = 3)
    {
        Span<char> text = stackalloc char[LongestClock];
        pen.Figure(text[..Clock(since, text, decimals)], ink);
    }

    /// <summary>Writes a moment as the time since the first frame into a text of at least <see cref="LongestClock"/> characters.</summary>
    /// <returns>How many characters it takes.</returns>
    public static int Clock(FrameSpan since, Span<char> text, int decimals)
    {
        var milliseconds = Math.Abs(since.Nanoseconds) / FrameSpan.NanosecondsPerMillisecond;
        var (hours, minutes, seconds, rest) = (milliseconds / 3_600_000, milliseconds / 60_000 % 60, milliseconds / 1_000 % 60, milliseconds % 1_000);
        var sign = since.Nanoseconds < 0 ? "-" : "";
        int length;
        _ = hours > 0
            ? text.TryWrite(CultureInfo.InvariantCulture, $"{sign}{hours}:{minutes:D2}:{seconds:D2}.{rest:D3}", out length)
            : text.TryWrite(CultureInfo.InvariantCulture, $"{sign}{minutes}:{seconds:D2}.{rest:D3}", out length);
        return length - (decimals == 0 ? 4 : 3 - decimals);
    }

    /// <summary>Writes an identifier as it is printed everywhere: <c>0x0C8</c>.</summary>
    public static void Identifier(ref this Pen pen, CanId? id, Ink ink = Ink.Plain)
    {
        Span<char> text = stackalloc char[16];
        var length = 0;
        _ = id switch
        {
            { IsExtended: true } known => text.TryWrite(CultureInfo.InvariantCulture, $"0x{known.Value:X8}", out length),
            { } known => text.TryWrite(CultureInfo.InvariantCulture, $"0x{known.Value:X3}", out length),
            null => false,
        };
        pen.Write(text[..length], ink);
    }

    /// <summary>How many decimals show every step of a signal of this scale and offset, at most four.</summary>
    public static int Decimals(double scale, double offset)
    {
        var decimals = 0;
        for (var step = 1.0; decimals < 4 && (!IsWhole(scale * step) || !IsWhole(offset * step)); step *= 10)
        {
            decimals++;
        }

        return decimals;
    }

    private static bool IsWhole(double value) => Math.Abs(value - Math.Round(value)) < 1e-6;

    private static int Format(FrameSpan? span, Span<char> text)
    {
        var culture = CultureInfo.InvariantCulture;
        int length;
        if (span is not { } known)
        {
            text[0] = '-';
            return 1;
        }

        var milliseconds = Math.Abs(known.Milliseconds);
        _ = milliseconds switch
        {
            < 9.95 => text.TryWrite(culture, $"{milliseconds:0.0} ms", out length),
            < 999.5 => text.TryWrite(culture, $"{milliseconds:0} ms", out length),
            < 99_950 => text.TryWrite(culture, $"{milliseconds / 1_000:0.0} s", out length),
            < 3_600_000 => text.TryWrite(culture, $"{(int)(milliseconds / 60_000)}:{(int)(milliseconds / 1_000) % 60:D2}", out length),
            _ => text.TryWrite(culture, $"{milliseconds / 3_600_000:0.0} h", out length),
        };
        return length;
    }
}
