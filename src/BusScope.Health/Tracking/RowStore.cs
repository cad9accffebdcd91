using BusScope.Signals.Plans;

namespace BusScope.Health.Tracking;

/// <summary>Room for the rows of many tracks in one array, as many as a <see cref="MessageBlock"/> takes for each, and for the numbers of their frames where those are kept.</summary>
/// <typeparam name="TRow">What a frame leaves here.</typeparam>
internal sealed class RowStore<TRow>
    where TRow : struct
{
    private const int FirstTracks = 4;

    // Four rows of room behind each track's own: with a power of two from track to track all of them would meet in the same few lines of
    // the first-level cache.
    private const int TrackStride = MessageBlock.Capacity + 4;

    private readonly int largest;
    private readonly bool keepsNumbers;
    private TRow[] rows = new TRow[FirstTracks * TrackStride];

    // The number of the frame of each row; empty where nobody asked.
    private long[] numbers;
    private int granted;

    /// <summary>A store of nothing.</summary>
    /// <param name="largest">How many tracks may have room, those aside that must have it.</param>
    /// <param name="keepsNumbers">Whether the numbers of frames are kept.</param>
    public RowStore(int largest, bool keepsNumbers)
    {
        this.largest = largest;
        this.keepsNumbers = keepsNumbers;
        numbers = keepsNumbers ? new long[rows.Length] : [];
    }

    /// <summary>All rows; holds until room is granted.</summary>
    public Span<TRow> Rows => rows;

    /// <summary>The number of the frame of each row; empty where those are not kept.</summary>
    public Span<long> Numbers => numbers;

    /// <summary>The same rows in a store of their own.</summary>
    public RowStore<TRow> Copy()
    {
        var copy = (RowStore<TRow>)MemberwiseClone();
        copy.rows = [.. rows];
        copy.numbers = [.. numbers];
        return copy;
    }

    /// <summary>Room for one more track, or none where too many have it.</summary>
    /// <param name="isNeeded">Whether this track must have it.</param>
    /// <returns>Its first row, or null.</returns>
    public int? Grant(bool isNeeded)
    {
        if (granted >= largest && !isNeeded)
        {
            return null;
        }

        var start = granted++ * TrackStride;
        if (start == rows.Length)
        {
            Array.Resize(ref rows, rows.Length * 2);
            Array.Resize(ref numbers, keepsNumbers ? rows.Length : 0);
        }

        return start;
    }
}
