using BusScope.Frames;
using BusScope.Signals.Plans;

namespace BusScope.Session.Readings;

/// <summary>
/// The latest frames of one message as they came, at least those of the last ten seconds, in blocks: what any of its signals did in that time can be read
/// from them when somebody asks, and needs no work before. One thread at a time.
/// </summary>
/// <param name="room">Where blocks come from.</param>
internal sealed class RecentRows(RowRoom room)
{
    // 16,000 frames: one each 0.6 ms over ten seconds.
    private const int MostBlocks = 64;

    private readonly Queue<MessageBlock> full = new();
    private MessageBlock? newest;

    /// <summary>The block that is being filled; null before the first frame.</summary>
    public MessageBlock? Newest => newest;

    /// <summary>Whether there is room for one more frame of this length without <see cref="Turn"/>.</summary>
    public bool Takes(in Frame frame) => newest is { IsFull: false } block && frame.Length <= block.Stride;

    /// <summary>Adds a frame that <see cref="Takes"/>.</summary>
    public void Add(in Frame frame) => newest!.Add(frame);

    /// <summary>Opens the next block: the oldest one, where its frames are old enough or no more are to be had.</summary>
    /// <param name="next">The frame that is to be added; where it is the first of more than eight bytes, those before it make way.</param>
    public void Turn(in Frame next)
    {
        var stride = next.Length > Payload.ClassicCapacity || newest?.Stride == Payload.Capacity ? Payload.Capacity : Payload.ClassicCapacity;
        if (newest is { } block)
        {
            full.Enqueue(block);
            if (block.Stride != stride)
            {
                room.GiveBack(full);
            }
        }

        var isOld = full.TryPeek(out var oldest) && new FrameTime(oldest.Times[^1]) < next.Time - TraceRing.FineReach;
        newest = (isOld || full.Count >= MostBlocks ? null : room.Block(stride, isFirst: full.Count == 0)) ?? full.Dequeue();
        newest.Clear();
    }

    /// <summary>All blocks, the oldest first.</summary>
    public IEnumerable<MessageBlock> Blocks() => newest is null ? [] : full.Append(newest);
}

/// <summary>How many blocks all messages together may have. One thread at a time.</summary>
internal sealed class RowRoom
{
    // In short blocks of about 4 kB each: 2 million frames, which is a minute of four buses at full load.
    private const int Most = 8_192;

    private int left = Most;

    /// <summary>A new block, or null where there is room for no more.</summary>
    /// <param name="stride">Bytes of a row, 8 or 64.</param>
    /// <param name="isFirst">Whether its message has no other: then there is always room.</param>
    public MessageBlock? Block(int stride, bool isFirst)
    {
        if (left < Cost(stride) && !isFirst)
        {
            return null;
        }

        left -= Cost(stride);
        return new MessageBlock(stride);
    }

    /// <summary>Takes blocks back that are not needed any more.</summary>
    public void GiveBack(Queue<MessageBlock> blocks)
    {
        while (blocks.TryDequeue(out var block))
        {
            left += Cost(block.Stride);
        }
    }

    private static int Cost(int stride) => stride == Payload.ClassicCapacity ? 1 : 4;
}
