using BusScope.Frames;

namespace BusScope.Transport.Queue;

/// <summary>
/// A bounded ring of frames between two threads: one adds, one takes. The frames keep their order, and comments stay with their
/// frames. All memory is taken at the beginning. When the ring is full the adding thread waits: nothing is thrown away.
/// </summary>
internal sealed class FrameQueue
{
    // How often a waiting thread looks whether it was broken off; nothing else depends on it.
    private static readonly TimeSpan LookEvery = TimeSpan.FromMilliseconds(20);

    private readonly object gate = new();
    private readonly Frame[] ring;
    private readonly Queue<(long Frame, string Text)> notes = new();
    private readonly Queue<(long Frame, IReadOnlyList<Bus> Buses)> met = new();
    private IReadOnlyList<Bus> buses = [];
    private int known;
    private long added;
    private long taken;
    private bool isComplete;
    private bool isAbandoned;

    /// <summary>An empty ring.</summary>
    /// <param name="capacity">Frames that it can hold, of 80 bytes each.</param>
    public FrameQueue(int capacity) => ring = new Frame[capacity];

    /// <summary>How often the adding thread found no room and waited.</summary>
    public long Waits { get; private set; }

    /// <summary>The buses that were known when the frames taken so far were added: a list that stands still.</summary>
    public IReadOnlyList<Bus> Buses
    {
        get
        {
            lock (gate)
            {
                while (met.TryPeek(out var next) && next.Frame <= taken)
                {
                    buses = met.Dequeue().Buses;
                }

                return buses;
            }
        }
    }

    /// <summary>Adds the frames of a batch, waiting for room where there is none.</summary>
    /// <param name="batch">The frames and their comments.</param>
    /// <param name="ofSource">The buses of the source; a list that only grows.</param>
    /// <param name="cancellation">Ends the waiting; the frames that had no room are then lost to the taker.</param>
    /// <returns>False when nobody takes frames any more.</returns>
    public bool Add(FrameBatch batch, IReadOnlyList<Bus> ofSource, CancellationToken cancellation)
    {
        var frames = batch.Frames;
        lock (gate)
        {
            Meet(ofSource);
            foreach (var note in batch.Notes)
            {
                notes.Enqueue((added + note.Index, note.Text));
            }

            while (!frames.IsEmpty)
            {
                if (added - taken == ring.Length && !Wait(cancellation))
                {
                    return !isAbandoned;
                }

                var room = ring.Length - (int)(added - taken);
                var at = (int)(added % ring.Length);
                var count = Math.Min(Math.Min(frames.Length, room), ring.Length - at);
                frames[..count].CopyTo(ring.AsSpan(at));
                frames = frames[count..];
                added += count;
            }

            // A source that only looked has nothing to wake anybody for.
            if (batch.Count > 0)
            {
                Monitor.PulseAll(gate);
            }

            return !isAbandoned;
        }
    }

    /// <summary>Attaches a comment to the frame that is added next.</summary>
    public void Note(string text)
    {
        lock (gate)
        {
            notes.Enqueue((added, text));
        }
    }

    /// <summary>Takes a comment that still waits for a frame to come; null where there is none.</summary>
    public string? TakeWaitingNote()
    {
        lock (gate)
        {
            return added == taken && notes.TryDequeue(out var note) ? note.Text : null;
        }
    }

    /// <summary>No frame will be added any more.</summary>
    public void Complete()
    {
        lock (gate)
        {
            isComplete = true;
            Monitor.PulseAll(gate);
        }
    }

    /// <summary>Nobody takes any more: what is there and what comes is let go.</summary>
    public void Abandon()
    {
        lock (gate)
        {
            isAbandoned = true;
            Monitor.PulseAll(gate);
        }
    }

    /// <summary>Clears the batch and fills it with what is there; where nothing is, waits a while.</summary>
    /// <param name="batch">The batch to fill.</param>
    /// <param name="patience">How long to wait for a frame.</param>
    /// <param name="cancellation">Ends the waiting.</param>
    /// <returns><see cref="SourceState.Ended"/> when all frames were taken and no further one comes.</returns>
    public SourceState Take(FrameBatch batch, TimeSpan patience, CancellationToken cancellation)
    {
        batch.Clear();
        lock (gate)
        {
            for (var waited = TimeSpan.Zero; added == taken && !isComplete && waited < patience && !cancellation.IsCancellationRequested; waited += LookEvery)
            {
                if (Monitor.Wait(gate, patience < LookEvery ? patience : LookEvery))
                {
                    break;
                }
            }

            if (added == taken)
            {
                return isComplete ? SourceState.Ended : SourceState.Idle;
            }

            while (!batch.IsFull && taken < added)
            {
                // A comment goes to the frame added last: so the frames are taken up to the one that has it.
                var end = notes.TryPeek(out var note) && note.Frame < added ? note.Frame + 1 : added;
                var at = (int)(taken % ring.Length);
                var count = (int)Math.Min(Math.Min(end - taken, batch.Free.Length), ring.Length - at);
                ring.AsSpan(at, count).CopyTo(batch.Free);
                batch.Added(count);
                taken += count;
                while (notes.TryPeek(out note) && note.Frame < taken)
                {
                    batch.Note(notes.Dequeue().Text);
                }
            }

            Monitor.PulseAll(gate);
            return SourceState.Frames;
        }
    }

    // The list of a source grows under its own thread's hands; the taker gets one that does not, and no earlier than the frames before it.
    private void Meet(IReadOnlyList<Bus> ofSource)
    {
        if (ofSource.Count != known)
        {
            known = ofSource.Count;
            met.Enqueue((added, [.. ofSource]));
        }
    }

    // The lock is held; waiting lets go of it.
    private bool Wait(CancellationToken cancellation)
    {
        Waits++;
        Monitor.PulseAll(gate);
        while (added - taken == ring.Length && !isAbandoned)
        {
            if (cancellation.IsCancellationRequested)
            {
                return false;
            }

            _ = Monitor.Wait(gate, LookEvery);
        }

        return !isAbandoned;
    }
}
