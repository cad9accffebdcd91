using System.Numerics;
using BusScope.Frames;

namespace BusScope.Health.Tracking;

/// <summary>
/// The gaps between the frames of one message in bounded memory. Up to <see cref="ExactCapacity"/> gaps are kept as they are;
/// beyond that they are counted in bins of a logarithmic scale, 128 to each doubling, that hold count and sum. A quantile
/// is then the mean of the gaps in its bin: less than 1/128 (0.8 %) off, and exact where the period is constant.
/// Shortest and longest gap are always exact.
/// </summary>
public sealed class PeriodStatistics
{
    /// <summary>How many gaps are kept as they are.</summary>
    public const int ExactCapacity = 128;

    private const int BinBits = 7;
    private const int BinsPerOctave = 1 << BinBits;
    private const int FirstCapacity = 8;

    // Thirteen days: whatever is longer shares the last bin. Below it no sum can overflow within the life of a recording.
    private const long LargestBinned = 1L << 50;

    private long[] exact = [];
    private int exactCount;
    private bool isSorted;

    // The bins from firstBin on; grown by whole octaves, so that it stops growing once the message has shown its range.
    private Bin[]? bins;
    private int firstBin;

    // How many gaps each octave of bins has: the way to a quantile leads past whole octaves.
    private long[] octaves = [];
    private PeriodFigures figures = new();
    private long figuresAt;

    /// <summary>Gaps counted.</summary>
    public long Count { get; private set; }

    /// <summary>The shortest gap in nanoseconds, exact; meaningless while <see cref="Count"/> is 0.</summary>
    public long Shortest { get; private set; } = long.MaxValue;

    /// <summary>The longest gap in nanoseconds, exact; meaningless while <see cref="Count"/> is 0.</summary>
    public long Longest { get; private set; } = long.MinValue;

    /// <summary>The sum of all gaps, each of 13 days at most, divided by their number in nanoseconds, NaN while <see cref="Count"/> is 0.</summary>
    public double Mean => Count == 0 ? double.NaN : Total() / Count;

    /// <summary>The same statistics, which go on by themselves.</summary>
    public PeriodStatistics Copy()
    {
        var copy = (PeriodStatistics)MemberwiseClone();
        copy.exact = [.. exact];
        copy.bins = bins is null ? null : [.. bins];
        copy.octaves = [.. octaves];
        return copy;
    }

    /// <summary>Counts gaps. Negative ones, where time stepped back, are left out.</summary>
    /// <param name="gaps">Nanoseconds.</param>
    /// <param name="range">The shortest and the longest of them.</param>
    public void Add(ReadOnlySpan<long> gaps, GapRange range)
    {
        var (least, counted) = range.Shortest < 0 ? LeastOfOdd(gaps) : (range.Shortest, gaps.Length);
        Shortest = Math.Min(Shortest, least);
        Longest = counted > 0 ? Math.Max(Longest, range.Longest) : Longest;
        Count += counted;
        if (bins is null && exactCount + counted <= ExactCapacity)
        {
            Keep(gaps, counted);
            return;
        }

        if (bins is null)
        {
            bins = [];
            BinAll(exact.AsSpan(0, exactCount), Shortest, Longest);
            exact = [];
            exactCount = 0;
        }

        BinAll(gaps, range.Shortest, range.Longest);
    }

    /// <summary>What a report says of them; the same object while none is added.</summary>
    public PeriodFigures Figures
    {
        get
        {
            if (figuresAt != Count)
            {
                figuresAt = Count;
                ReadOnlySpan<long> gaps = AtRanks([RankOf(0.05), (Count + 1) / 2, (Count / 2) + 1, RankOf(0.95)], stackalloc long[4]);
                figures = new PeriodFigures
                {
                    Median = new FrameSpan(Between(gaps[1], gaps[2])),
                    P05 = new FrameSpan(gaps[0]),
                    P95 = new FrameSpan(gaps[3]),
                    Longest = new FrameSpan(Longest),
                };
            }

            return figures;
        }
    }

    /// <summary>The median: of an even number of gaps, halfway between the middle two. Not while <see cref="Count"/> is 0.</summary>
    public long Median()
    {
        var middle = AtRanks([(Count + 1) / 2, (Count / 2) + 1], stackalloc long[2]);
        return Between(middle[0], middle[1]);
    }

    /// <summary>The gap that so many gaps do not exceed (nearest rank). Not while <see cref="Count"/> is 0.</summary>
    /// <param name="share">0 to 1.</param>
    public long Quantile(double share) => AtRanks([RankOf(share)], stackalloc long[1])[0];

    /// <summary>Counts the gaps in steps of equal length; of a bin all count where their mean lies.</summary>
    /// <param name="from">Where the first step begins, nanoseconds.</param>
    /// <param name="step">The length of a step, nanoseconds, more than 0.</param>
    /// <param name="counts">The steps; added to.</param>
    /// <returns>How many lie before the first and behind the last.</returns>
    public (long Shorter, long Longer) Spread(long from, long step, Span<long> counts)
    {
        var (shorter, longer) = (0L, 0L);
        if (bins is null)
        {
            foreach (var gap in exact.AsSpan(0, exactCount))
            {
                Put(gap, 1, counts);
            }

            return (shorter, longer);
        }

        for (var i = 0; i < bins.Length; i++)
        {
            if (bins[i].Count > 0)
            {
                Put(LowestOf(firstBin + i) + (bins[i].Excess / bins[i].Count), bins[i].Count, counts);
            }
        }

        return (shorter, longer);

        void Put(long gap, long times, Span<long> into)
        {
            if (gap < from)
            {
                shorter += times;
            }
            else if ((gap - from) / step is var place && place >= into.Length)
            {
                longer += times;
            }
            else
            {
                into[(int)place] += times;
            }
        }
    }

    private static long LowestOf(int bin)
    {
        var shift = Math.Max(0, (bin >> BinBits) - 1);
        return (long)(bin - (shift << BinBits)) << shift;
    }

    private double Total()
    {
        var total = 0.0;
        foreach (var gap in exact.AsSpan(0, exactCount))
        {
            total += Math.Min(gap, LargestBinned);
        }

        for (var i = 0; i < (bins?.Length ?? 0); i++)
        {
            total += ((double)LowestOf(firstBin + i) * bins![i].Count) + bins[i].Excess;
        }

        return total;
    }

    // Where time stepped back, or a gap is none.
    private static (long Least, int Counted) LeastOfOdd(ReadOnlySpan<long> gaps)
    {
        var (least, counted) = (long.MaxValue, 0);
        foreach (var gap in gaps)
        {
            if (gap >= 0)
            {
                least = Math.Min(least, gap);
                counted++;
            }
        }

        return (least, counted);
    }

    private void Keep(ReadOnlySpan<long> gaps, int counted)
    {
        if (exactCount + counted > exact.Length)
        {
            Array.Resize(ref exact, Math.Min(ExactCapacity, (int)BitOperations.RoundUpToPowerOf2((uint)Math.Max(FirstCapacity, exactCount + counted))));
        }

        foreach (var gap in gaps)
        {
            if (gap >= 0)
            {
                exact[exactCount++] = gap;
            }
        }

        isSorted = false;
    }

    // Of gaps between the shortest and the longest. Nearly always all of them are in the same octave, which then is looked for once.
    private void BinAll(ReadOnlySpan<long> gaps, long shortest, long longest)
    {
        if (shortest < BinsPerOctave || longest > LargestBinned || BitOperations.Log2((ulong)shortest) != BitOperations.Log2((ulong)longest))
        {
            foreach (var gap in gaps)
            {
                if (gap >= 0)
                {
                    BinOne(Math.Min(gap, LargestBinned));
                }
            }

            return;
        }

        var shift = BitOperations.Log2((ulong)shortest) - BinBits;
        var first = Room((shift + 1) << BinBits);
        var octave = bins.AsSpan(first, BinsPerOctave);
        var below = (1L << shift) - 1;
        foreach (var gap in gaps)
        {
            ref var counter = ref octave[(int)(gap >> shift) & (BinsPerOctave - 1)];
            counter.Count++;
            counter.Excess += gap & below;
        }

        octaves[first >> BinBits] += gaps.Length;
    }

    // Above 128 ns the seven bits after the leading one tell the bin; below it each value has a bin of its own.
    private void BinOne(long gap)
    {
        var shift = Math.Max(0, BitOperations.Log2((ulong)gap) - BinBits);
        var place = Room((shift << BinBits) + (int)(gap >> shift));
        bins![place].Count++;
        bins[place].Excess += gap & ((1L << shift) - 1);
        octaves[place >> BinBits]++;
    }

    // Where a bin stands.
    private int Room(int bin)
    {
        if ((uint)(bin - firstBin) >= (uint)bins!.Length)
        {
            MakeRoom(bin);
        }

        return bin - firstBin;
    }

    private void MakeRoom(int bin)
    {
        var octave = bin & ~(BinsPerOctave - 1);
        var from = bins!.Length == 0 ? octave : Math.Min(firstBin, octave);
        var to = bins.Length == 0 ? octave + BinsPerOctave : Math.Max(firstBin + bins.Length, octave + BinsPerOctave);
        var (wider, counts) = (new Bin[to - from], new long[(to - from) >> BinBits]);
        var behind = bins.Length == 0 ? 0 : firstBin - from;
        bins.CopyTo(wider, behind);
        octaves.CopyTo(counts, behind >> BinBits);
        (bins, octaves, firstBin) = (wider, counts, from);
    }

    private static long Between(long low, long high) => low + ((high - low) / 2);

    private long RankOf(double share) => Math.Clamp((long)Math.Ceiling(share * Count), 1, Count);

    // The gaps at ranks that do not fall: one way through the bins leads past all of them.
    private Span<long> AtRanks(ReadOnlySpan<long> ranks, Span<long> gaps)
    {
        if (bins is null && !isSorted)
        {
            exact.AsSpan(0, exactCount).Sort();
            isSorted = true;
        }

        var (bin, passed) = (0, 0L);
        for (var i = 0; i < ranks.Length; i++)
        {
            if (bins is null || ranks[i] == Count)
            {
                gaps[i] = bins is null ? exact[ranks[i] - 1] : Longest;
                continue;
            }

            while (passed + bins[bin].Count < ranks[i])
            {
                var isWholeOctave = (bin & (BinsPerOctave - 1)) == 0 && passed + octaves[bin >> BinBits] < ranks[i];
                passed += isWholeOctave ? octaves[bin >> BinBits] : bins[bin].Count;
                bin += isWholeOctave ? BinsPerOctave : 1;
            }

            gaps[i] = LowestOf(firstBin + bin) + (bins[bin].Excess / bins[bin].Count);
        }

        return gaps;
    }

    private struct Bin
    {
        public long Count;

        // The sum of the gaps less the lowest gap of the bin for each: small, so it cannot overflow.
        public long Excess;
    }
}
