using BusScope.Frames;

namespace BusScope.Transport.Recording;

/// <summary>
/// The latest seconds of frames, for a recording that begins before its trigger. Grows to what the bus needs and no further than
/// its limit: then the oldest make room, and are counted. Used by one thread at a time.
/// </summary>
/// <param name="span">How much time is kept.</param>
/// <param name="limit">The most frames kept, a power of two.</param>
internal sealed class FrameMemory(FrameSpan span, int limit = FrameMemory.UsualLimit)
{
    /// <summary>A million frames, some 90 MB: half a minute of four buses at full load.</summary>
    public const int UsualLimit = 1 << 20;

    private const int FirstRoom = 1 << 12;

    private readonly RunningTime clock = new();
    private readonly Queue<(long Frame, string Text)> notes = new();
    private Frame[] ring = new Frame[Math.Min(FirstRoom, limit)];
    private long[] passed = new long[Math.Min(FirstRoom, limit)];
    private long added;
    private long removed;

    /// <summary>Frames in memory.</summary>
    public int Count => (int)(added - removed);

    /// <summary>Frames that had to go before their time because there was no room.</summary>
    public long NoRoom { get; private set; }

    /// <summary>Takes frames in, and lets go of those that are too old by now.</summary>
    /// <param name="batch">The frames.</param>
    /// <param name="count">How many of them.</param>
    public void Add(FrameBatch batch, int count)
    {
        foreach (var note in batch.Notes)
        {
            if (note.Index < count)
            {
                notes.Enqueue((added + note.Index, note.Text));
            }
        }

        foreach (ref readonly var frame in batch.Frames[..count])
        {
            var now = clock.At(frame.Time);
            MakeRoom();
            var at = (int)(added++ & (ring.Length - 1));
            ring[at] = frame;
            passed[at] = now;
            Forget(now - span.Nanoseconds);
        }
    }

    /// <summary>Gives all frames that are not too old at the moment of the trigger, and is empty then.</summary>
    /// <param name="trigger">The time of the frame that triggered; null for the latest.</param>
    /// <param name="take">Takes batch after batch; a batch is used again.</param>
    public void Empty(FrameTime? trigger, Action<FrameBatch> take)
    {
        if (trigger is { } time)
        {
            Forget(clock.At(time) - span.Nanoseconds);
        }

        var batch = new FrameBatch();
        while (removed < added)
        {
            batch.Clear();
            while (removed < added && !batch.IsFull)
            {
                batch.Add() = ring[(int)(removed & (ring.Length - 1))];
                while (notes.TryPeek(out var note) && note.Frame <= removed)
                {
                    batch.Note(notes.Dequeue().Text);
                }

                removed++;
            }

            take(batch);
        }

        (ring, passed) = ([], []);
    }

    private void Forget(long oldest)
    {
        while (removed < added && passed[(int)(removed & (ring.Length - 1))] < oldest)
        {
            Remove();
        }
    }

    private void Remove()
    {
        while (notes.TryPeek(out var note) && note.Frame <= removed)
        {
            notes.Dequeue();
        }

        removed++;
    }

    private void MakeRoom()
    {
        if (Count < ring.Length)
        {
            return;
        }

        if (ring.Length == limit)
        {
            Remove();
            NoRoom++;
            return;
        }

        var (frames, times) = (new Frame[ring.Length * 2], new long[ring.Length * 2]);
        for (var i = removed; i < added; i++)
        {
            frames[(int)(i & (frames.Length - 1))] = ring[(int)(i & (ring.Length - 1))];
            times[(int)(i & (times.Length - 1))] = passed[(int)(i & (ring.Length - 1))];
        }

        (ring, passed) = (frames, times);
    }
}
