using System.Buffers.Text;
using System.Globalization;
using BusScope.Frames;

namespace BusScope.Transport.Tables;

/// <summary>
/// The unit of times that nothing names, from their shape. A frame takes at least 47 bits, so that on one bus at 1 Mbit/s two
/// frames cannot be closer than 47 µs; and few captures have a frame less often than every 200 ms. A unit that leads out of
/// there is not taken. Recorded as a note, and overruled by a profile.
/// </summary>
/// <param name="Unit">Nanoseconds in one unit.</param>
/// <param name="Reason">How it was found, for a person.</param>
internal readonly record struct TimeUnitGuess(long Unit, string Reason)
{
    private const double ShortestGap = 20_000;
    private const double LongestGap = 200_000_000;

    // 2000-01-01 and 2100-01-01 in seconds since the Unix epoch.
    private const double EarliestEpoch = 946_684_800;
    private const double LatestEpoch = 4_102_444_800;

    private static readonly (long Unit, string Name)[] wholeUnits =
    [
        (FrameSpan.NanosecondsPerMicrosecond, "microseconds"), (FrameSpan.NanosecondsPerMillisecond, "milliseconds"), (1, "nanoseconds"),
    ];

    private static readonly (long Unit, string Name)[] fractionUnits =
    [
        (FrameSpan.NanosecondsPerSecond, "seconds"), (FrameSpan.NanosecondsPerMillisecond, "milliseconds"), (FrameSpan.NanosecondsPerMicrosecond, "microseconds"),
    ];

    /// <summary>A guess from the first times of a table, in the order of its rows.</summary>
    public static TimeUnitGuess From(IReadOnlyList<double> times, bool haveFractions)
    {
        var units = haveFractions ? fractionUnits : wholeUnits;
        var shape = haveFractions ? "numbers with a decimal point" : "whole numbers";
        if (times.Count > 0 && EpochUnit(times[0]) is { } epoch)
        {
            return new TimeUnitGuess(epoch.Unit, $"{epoch.Name}: as such the times are dates of this century");
        }

        var gap = MedianGap(times);
        foreach (var (unit, name) in units)
        {
            if (gap * unit is >= ShortestGap and <= LongestGap)
            {
                return new TimeUnitGuess(unit, string.Create(CultureInfo.InvariantCulture, $"{name}: {shape}, half of them less than {new FrameSpan((long)(gap * unit))} apart"));
            }
        }

        return new TimeUnitGuess(units[0].Unit, $"{units[0].Name}: {shape}, with gaps that say nothing");
    }

    /// <summary>Reads the number of a time cell for the guess; false for anything else.</summary>
    public static bool TryNumber(ReadOnlySpan<byte> cell, out double value) =>
        Utf8Parser.TryParse(cell, out value, out var used) && used == cell.Length && double.IsFinite(value);

    private static (long Unit, string Name)? EpochUnit(double time)
    {
        foreach (var unit in (ReadOnlySpan<(long Unit, string Name)>)[fractionUnits[0], fractionUnits[1], fractionUnits[2], wholeUnits[2]])
        {
            // Seconds as whole numbers are no times of frames, but 10^9 microseconds are a quarter of an hour.
            var seconds = time * unit.Unit / FrameSpan.NanosecondsPerSecond;
            if (unit.Unit != FrameSpan.NanosecondsPerSecond && seconds is >= EarliestEpoch and <= LatestEpoch)
            {
                return unit;
            }
        }

        return null;
    }

    private static double MedianGap(IReadOnlyList<double> times)
    {
        var gaps = new List<double>();
        for (var i = 1; i < times.Count; i++)
        {
            if (times[i] > times[i - 1])
            {
                gaps.Add(times[i] - times[i - 1]);
            }
        }

        gaps.Sort();
        return gaps.Count == 0 ? 0 : gaps[gaps.Count / 2];
    }
}
