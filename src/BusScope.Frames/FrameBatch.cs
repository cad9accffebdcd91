namespace BusScope.Frames;

/// <summary>
/// Up to 256 frames that travel together: filled by a source, walked by everyone after it, then filled again. 256 frames of
/// 80 bytes stay in the first-level cache and below the large-object limit.
/// </summary>
public sealed class FrameBatch
{
    /// <summary>The most frames in a batch.</summary>
    public const int Capacity = 256;

    private Frame[] frames = new Frame[Capacity];
    private List<FrameNote>? notes;

    /// <summary>An empty batch.</summary>
    /// <param name="firstNumber">The number in its source of the frame that comes first.</param>
    public FrameBatch(long firstNumber = 1) => FirstNumber = firstNumber;

    /// <summary>How many frames the batch holds.</summary>
    public int Count { get; private set; }

    /// <summary>Whether no further frame fits.</summary>
    public bool IsFull => Count == Capacity;

    /// <summary>The number of the batch's first frame in its source, counted from 1.</summary>
    public long FirstNumber { get; private set; }

    /// <summary>The frames, in the order in which the source gave them.</summary>
    public ReadOnlySpan<Frame> Frames => frames.AsSpan(0, Count);

    /// <summary>Comments that the recording holds on frames of this batch; almost always none.</summary>
    public IReadOnlyList<FrameNote> Notes => notes ?? (IReadOnlyList<FrameNote>)[];

    /// <summary>Empties the batch for the next filling; the numbering goes on.</summary>
    public void Clear()
    {
        FirstNumber += Count;
        Count = 0;
        notes?.Clear();
    }

    /// <summary>Empties the batch for frames of which the first has this number.</summary>
    public void Begin(long firstNumber)
    {
        Clear();
        FirstNumber = firstNumber;
    }

    /// <summary>Exchanges all that two batches hold, numbers and comments included; no frame is copied.</summary>
    public void Exchange(FrameBatch other)
    {
        ArgumentNullException.ThrowIfNull(other);
        (frames, other.frames) = (other.frames, frames);
        (notes, other.notes) = (other.notes, notes);
        (Count, other.Count) = (other.Count, Count);
        (FirstNumber, other.FirstNumber) = (other.FirstNumber, FirstNumber);
    }

    /// <summary>Adds room for one frame, which the caller writes whole through <see cref="Frame.Set"/>.</summary>
    /// <exception cref="IndexOutOfRangeException">The batch is full.</exception>
    public ref Frame Add() => ref frames[Count++];

    /// <summary>Room for further frames, for a source that writes many at once and then tells how many by <see cref="Added"/>.</summary>
    public Span<Frame> Free => frames.AsSpan(Count);

    /// <summary>Takes in as many frames as were written whole at the beginning of <see cref="Free"/>.</summary>
    /// <exception cref="ArgumentOutOfRangeException">More than there was room for.</exception>
    public void Added(int count)
    {
        ArgumentOutOfRangeException.ThrowIfGreaterThan((uint)count, (uint)(Capacity - Count));
        Count += count;
    }

    /// <summary>Takes back the frame added last, when it turned out to be unusable.</summary>
    public void TakeBack() => Count--;

    /// <summary>Attaches a comment to the frame added last.</summary>
    public void Note(string text) => (notes ??= []).Add(new FrameNote(Count - 1, text));
}

/// <summary>A comment on one frame of a batch.</summary>
/// <param name="Index">The frame's index in the batch.</param>
/// <param name="Text">The comment, as it was recorded: clean it before it reaches a terminal.</param>
public readonly record struct FrameNote(int Index, string Text);
