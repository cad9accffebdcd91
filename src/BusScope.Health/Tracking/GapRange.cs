using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;

namespace BusScope.Health.Tracking;

/// <summary>The shortest and the longest of the gaps between frames that came together.</summary>
/// <param name="Shortest">Nanoseconds; below 0 where time stepped back or a gap is none.</param>
/// <param name="Longest">Nanoseconds; not above 0 where no gap is.</param>
public readonly record struct GapRange(long Shortest, long Longest)
{
    /// <summary>What stands for the gap before a frame where there is none.</summary>
    public const long None = -1;

    /// <summary>Of gaps that are known.</summary>
    /// <param name="gaps">Nanoseconds, at least one.</param>
    public static GapRange Of(ReadOnlySpan<long> gaps)
    {
        var (shortest, longest) = (gaps[0], gaps[0]);
        foreach (var gap in gaps)
        {
            (shortest, longest) = (Math.Min(shortest, gap), Math.Max(longest, gap));
        }

        return new GapRange(shortest, longest);
    }

    /// <summary>Writes down the gap before each frame.</summary>
    /// <param name="first">The gap before the first one, nanoseconds, or <see cref="None"/>.</param>
    /// <param name="times">When they came, nanoseconds; at least one.</param>
    /// <param name="gaps">As many.</param>
    public static GapRange Write(long first, ReadOnlySpan<long> times, Span<long> gaps)
    {
        gaps[0] = first;
        if (times.Length == 1)
        {
            return new GapRange(first, first);
        }

        // Two gaps at once, then the last one by itself, whether or not it has a partner.
        var (shorter, longer) = (Vector128.Create(first), Vector128.Create(first));
        var to = MemoryMarshal.Cast<long, Vector128<long>>(gaps[1..]);
        var later = MemoryMarshal.Cast<long, Vector128<long>>(times[1..]);
        var earlier = MemoryMarshal.Cast<long, Vector128<long>>(times[..^1]);
        for (var i = 0; i < to.Length && i < later.Length && i < earlier.Length; i++)
        {
            var pair = later[i] - earlier[i];
            to[i] = pair;
            shorter = Vector128.Min(shorter, pair);
            longer = Vector128.Max(longer, pair);
        }

        var last = gaps[^1] = times[^1] - times[^2];
        return new GapRange(Math.Min(Math.Min(shorter[0], shorter[1]), last), Math.Max(Math.Max(longer[0], longer[1]), last));
    }
}
