using BusScope.Frames;
using BusScope.Signals.Plans;

namespace BusScope.Session.Readings;

/// <summary>
/// The latest frames of one message as they came, in blocks: those of the last ten seconds, or fewer where it comes too often or the common room is used up. What
/// any of its signals did in that time can be read from them when somebody asks, and needs no work before. One thread at a time.
/// </summary>
/// <param name="room">Where blocks come from.</param>
internal sealed class RecentRows(RowRoom room)
{
    // 16,000 frames: one each 0.6 ms over ten seconds.
    private const int MostBlocks = 32;

    private readonly Queue<MessageBlock> full = new();
    private MessageBlock? newest;

    /// <summary>The block that is being filled; null before the first frame.</summary>
    public MessageBlock? Newest => newest;

    /// <summary>Whether there is room for one more frame of this length without <see cref="Turn"/>.</summary>
    public bool Takes(in Frame frame) => newest is { IsFull: false } block && frame.Length <= block.Stride;

    /// <summary>Adds a frame that <see cref="Takes"/>.</summary>
    public void Add(in Frame frame) => newest!.Add(frame);

    /// <summary>Opens the next block: the oldest one, where its frames are old enough or no more are to be had.</summary>
    /// <param name="next">The frame that is to be added.</param>
    public void Turn(in Frame next)
    {
        var stride = next.Length > Payload.ClassicCapacity || newest?.Stride == Payload.Capacity ? Payload.Capacity : Payload.ClassicCapacity;
        if (newest is not null)
        {
            full.Enqueue(newest);
        }

        var end = next.Time - TraceRing.FineReach;
        while (full.TryPeek(out newest) && (full.Count >= MostBlocks || !room.Has(stride) || new FrameTime(newest.Times[^1]) < end))
        {
            full.Dequeue();
            if (newest.Stride == stride)
            {
                newest.Clear();
                return;
            }

            room.GiveBack(newest.Stride);
        }

        newest = room.Block(stride);
    }

    /// <summary>All blocks, the oldest first.</summary>
    public IEnumerable<MessageBlock> Blocks() => newest is null ? [] : full.Append(newest);
}

/// <summary>How many blocks all messages together may have. One thread at a time.</summary>
internal sealed class RowRoom
{
    // In short blocks of about 8 kB each: 2 million frames, which is a minute of four buses with 8,000 frames a second each.
    private const int Most = 4_096;

    private int left = Most;

    /// <summary>Whether there is room for one more; a message that has none gets one all the same.</summary>
    /// <param name="stride">Bytes of a row, 8 or 64.</param>
    public bool Has(int stride) => left >= Cost(stride);

    /// <summary>A new block.</summary>
    /// <param name="stride">Bytes of a row, 8 or 64.</param>
    public MessageBlock Block(int stride)
    {
        left -= Cost(stride);
        return new MessageBlock(stride);
    }

    /// <summary>Notes that a block is not used any more.</summary>
    /// <param name="stride">Bytes of a row, 8 or 64.</param>
    public void GiveBack(int stride) => left += Cost(stride);

    private static int Cost(int stride) => stride == Payload.ClassicCapacity ? 1 : 4;
}
