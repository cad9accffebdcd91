using BusScope.Frames;

namespace BusScope.Health.History;

/// <summary>
/// A series over the whole of a recording in bounded memory, though nobody knows beforehand how long it will be: 512 bins. Where
/// a moment does not fit, two neighbours each become one of twice the width. Widths are powers of two in nanoseconds and bins are
/// counted from the epoch, so that a moment finds its bin by a shift, and neighbours always pair. Earlier moments fit as well.
/// </summary>
/// <typeparam name="TBin">What is kept of each stretch of time.</typeparam>
internal sealed class BinSeries<TBin>
    where TBin : struct, ITimeBin<TBin>
{
    /// <summary>The most bins.</summary>
    public const int Capacity = 512;

    // 2^20 ns, about a millisecond: half a second fits before the first widening.
    private const int NarrowestShift = 20;

    private TBin[] bins = new TBin[Capacity];
    private int shift = NarrowestShift;
    private long first;
    private int used;

    /// <summary>The bin of a moment, to be changed in place.</summary>
    public ref TBin At(long nanoseconds)
    {
        while (true)
        {
            var bin = nanoseconds >> shift;
            var index = bin - first;
            if ((ulong)index < (ulong)used)
            {
                return ref bins[index];
            }

            if (used == 0)
            {
                (first, used) = (bin, 1);
            }
            else if (index >= 0 && index < Capacity)
            {
                used = (int)index + 1;
            }
            else if (index < 0 && used - index <= Capacity)
            {
                MakeRoomBefore((int)-index);
                first = bin;
            }
            else
            {
                Widen();
            }
        }
    }

    /// <summary>The same series, which goes on by itself.</summary>
    public BinSeries<TBin> Copy()
    {
        var copy = (BinSeries<TBin>)MemberwiseClone();
        copy.bins = [.. bins];
        return copy;
    }

    /// <summary>What was recorded so far, or null where that is nothing.</summary>
    public TimeBins<TBin>? Recorded() =>
        used == 0 ? null : new TimeBins<TBin>(new FrameTime(first << shift), new FrameSpan(1L << shift), bins[..used]);

    private void MakeRoomBefore(int count)
    {
        bins.AsSpan(0, used).CopyTo(bins.AsSpan(count));
        bins.AsSpan(0, count).Clear();
        used += count;
    }

    private void Widen()
    {
        var widerFirst = first >> 1;
        for (var i = 0; i < used; i++)
        {
            // The goal never lies behind the source, so nothing is overwritten before it was read.
            var goal = (int)(((first + i) >> 1) - widerFirst);
            if (goal != i)
            {
                var bin = bins[i];
                bins[i] = default;
                bins[goal].Absorb(bin);
            }
        }

        used = (int)(((first + used - 1) >> 1) - widerFirst) + 1;
        first = widerFirst;
        shift++;
    }
}
