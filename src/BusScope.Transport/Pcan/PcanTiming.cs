using System.Globalization;

namespace BusScope.Transport.Pcan;

/// <summary>
/// The bit timing of CAN FD at a controller clock of 80 MHz, in the form of PCANBasic.h. Of all timings that give the rate exactly,
/// the one with the finest time quanta whose sample point comes nearest to 80 %, common practice of the trade for CAN FD; both phases
/// take the same prescaler where they can, as ISO 11898-1 recommends.
/// </summary>
internal static class PcanTiming
{
    private const int Clock = 80_000_000;
    private const double SamplePoint = 0.8;

    // The largest values of nom_brp, nom_tseg1, nom_tseg2 and of their counterparts for the data phase, from memory of the maker's manual.
    private static readonly (int Prescaler, int Before, int Behind) arbitration = (1024, 256, 128);
    private static readonly (int Prescaler, int Before, int Behind) data = (1024, 32, 16);

    /// <summary>The timing for two rates in bits per second; null where 80 MHz cannot give one of them exactly.</summary>
    public static string? Of(long bitRate, long dataBitRate)
    {
        (int Prescaler, int Before, int Behind)? best = null;
        foreach (var fast in All(dataBitRate, data))
        {
            best ??= fast;
            foreach (var slow in All(bitRate, arbitration))
            {
                if (slow.Prescaler == fast.Prescaler)
                {
                    return Text(slow, fast);
                }
            }
        }

        return best is { } behind && All(bitRate, arbitration).Select(each => ((int, int, int)?)each).FirstOrDefault() is { } before ? Text(before, behind) : null;
    }

    // The finest first, one for each prescaler: time quanta before and behind the sample point, the synchronisation quantum left out.
    private static IEnumerable<(int Prescaler, int Before, int Behind)> All(long rate, (int Prescaler, int Before, int Behind) limits)
    {
        for (var prescaler = 1; rate > 0 && prescaler <= limits.Prescaler; prescaler++)
        {
            if (Clock % (rate * prescaler) != 0)
            {
                continue;
            }

            var quanta = (int)(Clock / (rate * prescaler));
            var before = (int)Math.Round(quanta * SamplePoint) - 1;
            var behind = quanta - 1 - before;
            if (before >= 1 && before <= limits.Before && behind >= 1 && behind <= limits.Behind)
            {
                yield return (prescaler, before, behind);
            }
        }
    }

    private static string Text((int Prescaler, int Before, int Behind) slow, (int Prescaler, int Before, int Behind) fast) => string.Create(
        CultureInfo.InvariantCulture,
        $"f_clock={Clock},nom_brp={slow.Prescaler},nom_tseg1={slow.Before},nom_tseg2={slow.Behind},nom_sjw={slow.Behind},"
        + $"data_brp={fast.Prescaler},data_tseg1={fast.Before},data_tseg2={fast.Behind},data_sjw={fast.Behind}");
}
