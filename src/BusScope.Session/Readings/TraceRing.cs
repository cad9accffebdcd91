using BusScope.Frames;

namespace BusScope.Session.Readings;

/// <summary>The smallest and the largest value within a stretch of time; NaN where no valid value came.</summary>
/// <param name="Smallest">The smallest.</param>
/// <param name="Largest">The largest.</param>
public readonly record struct TraceBin(float Smallest, float Largest)
{
    /// <summary>No value.</summary>
    public static TraceBin None => new(float.NaN, float.NaN);

    /// <summary>Whether any value came.</summary>
    public bool HasValue => !float.IsNaN(Smallest);

    /// <summary>Both together.</summary>
    public TraceBin With(TraceBin other) =>
        !HasValue ? other : !other.HasValue ? this : new(Math.Min(Smallest, other.Smallest), Math.Max(Largest, other.Largest));
}

/// <summary>
/// The range of a signal in each of many short stretches of time, in bounded memory: what is older than the ring reaches is written over. One
/// thread at a time; allocates nothing after it is made.
/// </summary>
public sealed class TraceRing
{
    private const int FineCount = 512;
    private const int CoarseCount = 1024;
    private static readonly FrameSpan FineBin = FrameSpan.FromMilliseconds(20);

    private readonly FrameSpan binLength;
    private readonly int count;
    private readonly TraceBin[] bins;
    private long latest = long.MinValue;

    // Where the stretch of the value before begins, and its place; at first none that any value falls into.
    private long from = long.MaxValue;
    private int place;

    // The number of stretches is a power of two, which their places rest on.
    private TraceRing(FrameSpan binLength, int count) => (this.binLength, this.count, bins) = (binLength, count, Empty(count));

    /// <summary>The length of a coarse stretch.</summary>
    public static FrameSpan CoarseBin { get; } = FrameSpan.FromSeconds(1);

    /// <summary>How far back a fine ring reaches.</summary>
    public static FrameSpan FineReach { get; } = FineBin * (FineCount - 1);

    /// <summary>Each fiftieth of a second over ten seconds.</summary>
    public static TraceRing Fine() => new(FineBin, FineCount);

    /// <summary>Each second over seventeen minutes.</summary>
    public static TraceRing Coarse() => new(CoarseBin, CoarseCount);

    /// <summary>Takes in the range of values that came within one stretch. A clock that was set back begins anew.</summary>
    /// <param name="at">When any of them came.</param>
    /// <param name="value">Their range.</param>
    public void Take(FrameTime at, TraceBin value)
    {
        // Usually the value falls into the stretch of the one before it, which is found without dividing.
        if ((ulong)(at.Nanoseconds - from) >= (ulong)binLength.Nanoseconds)
        {
            var bin = FloorOf(at.Nanoseconds, binLength.Nanoseconds);
            Open(bin);
            (from, place) = (bin * binLength.Nanoseconds, Place(bin));
        }

        bins[place] = bins[place].With(value);
    }

    /// <summary>
    /// The stretch of time up to a moment, cut into columns of equal length that begin at whole multiples of that length, so
    /// that a picture moves by whole columns.
    /// </summary>
    /// <param name="moment">The moment; it lies in the last column that is not ahead of it.</param>
    /// <param name="column">How long a column is, at least 1 ns; one that is shorter than the stretches that are kept stands empty between them.</param>
    /// <param name="columns">The columns to fill.</param>
    /// <param name="step">The columns end at a whole multiple of so many, 1 for every one.</param>
    /// <param name="before">The value that stood before the first column, as one that holds until the next comes; <see cref="TraceBin.None"/> where none is kept.</param>
    /// <returns>When the last column ends, and how many columns lie ahead of the moment.</returns>
    public (FrameTime End, int Ahead) Fill(FrameTime moment, FrameSpan column, Span<TraceBin> columns, int step, out TraceBin before)
    {
        columns.Fill(TraceBin.None);
        before = TraceBin.None;
        var now = FloorOf(moment.Nanoseconds, column.Nanoseconds);
        var end = ((FloorOf(now, step) + 1) * step) - 1;
        var (into, until) = (0L, long.MinValue);
        for (var bin = latest - count + 1; latest != long.MinValue && bin <= latest; bin++)
        {
            // Most stretches fall into the column of the one before.
            if (bin * binLength.Nanoseconds is var start && start >= until)
            {
                var at = FloorOf(start, column.Nanoseconds);
                (into, until) = (at - end + columns.Length - 1, (at + 1) * column.Nanoseconds);
            }

            if (bins[Place(bin)] is not { HasValue: true } value)
            {
                continue;
            }

            if (into < 0)
            {
                before = value;
            }
            else if (into < columns.Length)
            {
                columns[(int)into] = columns[(int)into].With(value);
            }
        }

        return (new FrameTime((end + 1) * column.Nanoseconds), (int)(end - now));
    }

    private static long FloorOf(long nanoseconds, long length) =>
        nanoseconds >= 0 ? nanoseconds / length : -((-nanoseconds + length - 1) / length);

    private static TraceBin[] Empty(int count)
    {
        var bins = new TraceBin[count];
        Array.Fill(bins, TraceBin.None);
        return bins;
    }

    private void Open(long bin)
    {
        // A step back within the ring is frames out of order and finds its bin; further back the clock was set.
        if (latest == long.MinValue || bin - latest >= count || bin <= latest - count)
        {
            Array.Fill(bins, TraceBin.None);
            latest = bin;
            return;
        }

        for (; latest < bin; latest++)
        {
            bins[Place(latest + 1)] = TraceBin.None;
        }
    }

    // The lengths of both rings are powers of two.
    private int Place(long bin) => (int)(bin & (count - 1));
}
