using System.Globalization;

namespace BusScope.Frames;

/// <summary>
/// How a bit rate is written, the same everywhere, and as definition files take it: exact, in the largest unit that needs no more than
/// three decimals: <c>500 kbit/s</c>, <c>83.333 kbit/s</c>, <c>1 Mbit/s</c>, <c>1234.567 kbit/s</c>.
/// </summary>
public static class BitRateText
{
    private const long Kilo = 1_000;
    private const long Mega = 1_000_000;

    /// <summary>One rate.</summary>
    /// <param name="bitsPerSecond">Above 0.</param>
    public static string Of(long bitsPerSecond) =>
        bitsPerSecond >= Mega && bitsPerSecond % Kilo == 0 ? Write(bitsPerSecond, Mega, "Mbit/s")
        : bitsPerSecond >= Kilo ? Write(bitsPerSecond, Kilo, "kbit/s")
        : Write(bitsPerSecond, 1, "bit/s");

    /// <summary>The rates of a bus: <c>500 kbit/s</c>, or with that of the data phase of CAN FD <c>500 kbit/s + 2 Mbit/s</c>.</summary>
    public static string Of(long bitsPerSecond, long? dataBitsPerSecond) =>
        dataBitsPerSecond is { } data ? $"{Of(bitsPerSecond)} + {Of(data)}" : Of(bitsPerSecond);

    private static string Write(long bitsPerSecond, long unit, string name) =>
        string.Create(CultureInfo.InvariantCulture, $"{bitsPerSecond / (decimal)unit:0.###} {name}");
}
