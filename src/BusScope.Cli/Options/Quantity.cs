using System.Globalization;
using BusScope.Frames;

namespace BusScope.Cli.Options;

/// <summary>Numbers with units as a person types them on the command line.</summary>
internal static class Quantity
{
    private const double Kilo = 1e3;
    private const double Mega = 1e6;

    /// <summary>A bit rate: <c>500k</c>, <c>1M</c>, <c>83.3k</c>, <c>125000</c>, each with or without <c>bit/s</c>.</summary>
    /// <returns>Bits per second, 1 to 20,000,000; null for anything else.</returns>
    public static long? BitRate(string text)
    {
        var trimmed = text.Trim();
        trimmed = trimmed.EndsWith("bit/s", StringComparison.OrdinalIgnoreCase) ? trimmed[..^5].TrimEnd() : trimmed;
        var factor = trimmed.Length == 0 ? 1 : trimmed[^1] switch
        {
            'k' or 'K' => Kilo,
            'M' or 'm' => Mega,
            _ => 1,
        };
        return Number(factor == 1 ? trimmed : trimmed[..^1]) is { } number && number * factor is >= 1 and <= 20e6
            ? (long)Math.Round(number * factor)
            : null;
    }

    /// <summary>A length of time: <c>60s</c>, <c>500 ms</c>, <c>2 min</c>.</summary>
    /// <returns>The span, above zero and at most a day; null for anything else.</returns>
    public static FrameSpan? Span(string text)
    {
        var trimmed = text.Trim();
        var digits = trimmed.TakeWhile(c => char.IsAsciiDigit(c) || c == '.').Count();
        double? seconds = trimmed[digits..].Trim() switch
        {
            "ms" => 0.001,
            "s" => 1,
            "min" => 60,
            "h" => 3600,
            _ => null,
        };
        return Number(trimmed[..digits]) * seconds is { } span and > 0 and <= 86_400 ? FrameSpan.FromSeconds(span) : null;
    }

    private static double? Number(string text) =>
        double.TryParse(text, NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture, out var number) ? number : null;
}
