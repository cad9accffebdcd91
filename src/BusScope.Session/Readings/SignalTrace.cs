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
/// What a signal did lately, in bounded memory: its range in each fiftieth of a second over ten seconds, and in each second
/// over seventeen minutes. One thread at a time; allocates nothing after it is made.
/// </summary>
public sealed class SignalTrace
{
    private readonly Ring fine = new(FrameSpan.FromMilliseconds(20), 512);
    private readonly Ring coarse = new(FrameSpan.FromSeconds(1), 1024);

    /// <summary>The longest stretch of time that is kept in full.</summary>
    public static FrameSpan Longest { get; } = FrameSpan.FromSeconds(1023);

    /// <summary>Takes in a value. A clock that was set back begins anew.</summary>
    public void Take(FrameTime at, double value)
    {
        fine.Take(at, (float)value);
        coarse.Take(at, (float)value);
    }

    /// <summary>
    /// The stretch of time up to a moment, cut into columns of equal length that begin at whole multiples of that length, so
    /// that a picture moves by whole columns.
    /// </summary>
    /// <param name="until">The moment; it lies in the last column that is not ahead of it.</param>
    /// <param name="window">How long, more than 0, at most <see cref="Longest"/>.</param>
    /// <param name="columns">The columns to fill.</param>
    /// <param name="step">The columns end at a whole multiple of so many, 1 for every one.</param>
    /// <param name="before">The value that stood before the first column, as one that holds until the next comes; <see cref="TraceBin.None"/> where none is kept.</param>
    /// <returns>When the last column ends, and how many columns lie ahead of the moment.</returns>
    public (FrameTime End, int Ahead) Fill(FrameTime until, FrameSpan window, Span<TraceBin> columns, int step, out TraceBin before)
    {
        var column = Math.Max(1, window.Nanoseconds / Math.Max(1, columns.Length));
        var ring = column >= coarse.Length || window.Nanoseconds > fine.Reach ? coarse : fine;
        columns.Fill(TraceBin.None);
        before = TraceBin.None;
        var latest = FloorOf(until.Nanoseconds, column);
        var end = ((FloorOf(latest, step) + 1) * step) - 1;
        foreach (var (start, bin) in ring)
        {
            var place = FloorOf(start, column) - end + columns.Length - 1;
            if (place < 0)
            {
                before = bin;
            }
            else if (place < columns.Length)
            {
                columns[(int)place] = columns[(int)place].With(bin);
            }
        }

        return (new FrameTime((end + 1) * column), (int)(end - latest));
    }

    private static long FloorOf(long nanoseconds, long length) =>
        nanoseconds >= 0 ? nanoseconds / length : -((-nanoseconds + length - 1) / length);

    // Bins stand in the ring by their time; what is older than the ring reaches is written over.
    private sealed class Ring(FrameSpan binLength, int count)
    {
        private readonly TraceBin[] bins = Empty(count);
        private long latest = long.MinValue;

        // Where the stretch of the value before begins, and its place; at first none that any value falls into.
        private long from = long.MaxValue;
        private int place;

        public long Length => binLength.Nanoseconds;

        public long Reach => binLength.Nanoseconds * (count - 1);

        public void Take(FrameTime at, float value)
        {
            // Usually the value falls into the stretch of the one before it, which is found without dividing.
            if ((ulong)(at.Nanoseconds - from) >= (ulong)binLength.Nanoseconds)
            {
                var bin = FloorOf(at.Nanoseconds, binLength.Nanoseconds);
                Open(bin);
                (from, place) = (bin * binLength.Nanoseconds, Place(bin));
            }

            ref var there = ref bins[place];
            there = !there.HasValue ? new(value, value)
                : value < there.Smallest ? there with { Smallest = value }
                : value > there.Largest ? there with { Largest = value }
                : there;
        }

        public Enumerator GetEnumerator() => new(this);

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

        private int Place(long bin) => (int)(((bin % count) + count) % count);

        public struct Enumerator(Ring ring)
        {
            private long bin = ring.latest == long.MinValue ? 0 : ring.latest - ring.Count;

            public readonly (long Start, TraceBin Bin) Current => (bin * ring.Length, ring.bins[ring.Place(bin)]);

            public bool MoveNext()
            {
                if (ring.latest == long.MinValue)
                {
                    return false;
                }

                while (++bin <= ring.latest)
                {
                    if (ring.bins[ring.Place(bin)].HasValue)
                    {
                        return true;
                    }
                }

                return false;
            }
        }

        private int Count => count;
    }
}
