using BusScope.Frames;
using BusScope.Signals.Loading;

namespace BusScope.Cli.Options;

/// <summary>Numbers with units as a person types them on the command line: as in definition files, and shorter.</summary>
internal static class Quantity
{
    private const long FastestBus = 20_000_000;

    /// <summary>A bit rate: <c>500k</c>, <c>1M</c>, <c>83.333k</c>, <c>125000</c>, or as in a definition file <c>500 kbit/s</c>.</summary>
    /// <returns>Bits per second, 1 to 20,000,000; null for anything else.</returns>
    public static long? BitRate(string text)
    {
        if (Literal.TryBitRate(text, out var written))
        {
            return written;
        }

        var (digits, factor) = text switch
        {
            [.. var before, 'k'] => (before, 1e3),
            [.. var before, 'M'] => (before, 1e6),
            _ => (text, 1d),
        };
        return Literal.TryNumber(digits, out var number) && number * factor is >= 1 and <= FastestBus ? (long)Math.Round(number * factor) : null;
    }

    /// <summary>A size: <c>500kB</c>, <c>100 MB</c>, <c>2GB</c>, of a thousand each, or bytes.</summary>
    /// <returns>Bytes, at least 1; null for anything else.</returns>
    public static long? Bytes(string text)
    {
        var (digits, factor) = text switch
        {
            [.. var before, 'k', 'B'] => (before, 1e3),
            [.. var before, 'M', 'B'] => (before, 1e6),
            [.. var before, 'G', 'B'] => (before, 1e9),
            [.. var before, 'T', 'B'] => (before, 1e12),
            _ => (text, 1d),
        };
        return Literal.TryNumber(digits.Trim(), out var number) && number * factor is >= 1 and <= 1e18 ? (long)Math.Round(number * factor) : null;
    }

    /// <summary>A length of time: <c>60s</c>, <c>500 ms</c>, <c>2min</c>; at most a day.</summary>
    /// <returns>The span, or null for anything else.</returns>
    public static FrameSpan? Span(string text) => Literal.TryDuration(text, out var span) ? span : null;
}
