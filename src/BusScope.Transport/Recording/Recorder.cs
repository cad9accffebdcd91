using System.Runtime.ExceptionServices;
using BusScope.Frames;
using BusScope.Transport.Queue;

namespace BusScope.Transport.Recording;

/// <summary>
/// Records what a reading thread gives it, on a thread of its own, so that a slow disk does not hold up receiving: frames wait in
/// a bounded ring. Only when that is full does the reading thread wait, which is counted; no frame is thrown away.
/// </summary>
public sealed class Recorder : IDisposable
{
    // Two seconds of four buses at full load, 5 MB.
    private const int QueueLength = 65_536;

    // A comment that no frame comes for is written by itself after so many turns without one.
    private const int QuietTurns = 3;

    private static readonly TimeSpan Patience = TimeSpan.FromMilliseconds(100);
    private static readonly TimeSpan TellEvery = TimeSpan.FromMilliseconds(200);

    private readonly RecordingWriter writer;
    private readonly IRecordingTrigger? trigger;
    private readonly TimeProvider time;
    private readonly FrameQueue queue;
    private readonly bool isLive;
    private readonly FrameSpan? length;
    private readonly FrameBatch batch = new();
    private readonly FrameBatch part = new();
    private readonly Lock gate = new();
    private readonly Dictionary<int, long> lost = [];
    private readonly Queue<string> remarks = new();
    private FrameMemory? memory;
    private Thread? thread;
    private ExceptionDispatchInfo? fault;
    private volatile bool isTriggered;
    private FrameTime begun = FrameTime.Never;
    private bool isOver;
    private int quiet;
    private long noRoomBefore;
    private long told;
    private RecordingStatus status;

    /// <summary>Creates the first file; nothing is written to it before <see cref="Start"/>.</summary>
    /// <param name="options">How it is written.</param>
    /// <param name="trigger">What it waits for where it waits; null for a person alone.</param>
    /// <param name="disk">The disk.</param>
    /// <param name="time">Where time comes from.</param>
    /// <exception cref="IOException">It cannot be written there; the message names file and reason.</exception>
    public Recorder(RecordingOptions options, IRecordingTrigger? trigger, IDiskSpace disk, TimeProvider time)
        : this(options, trigger, disk, time, QueueLength)
    {
    }

    internal Recorder(RecordingOptions options, IRecordingTrigger? trigger, IDiskSpace disk, TimeProvider time, int queueLength)
    {
        ArgumentNullException.ThrowIfNull(options);
        ArgumentNullException.ThrowIfNull(disk);
        ArgumentNullException.ThrowIfNull(time);
        this.trigger = trigger;
        this.time = time;
        isLive = options.Clock != SourceClock.Recorded;
        length = options.Clock == SourceClock.Ours ? null : options.Length;
        queue = new FrameQueue(queueLength);
        writer = new RecordingWriter(options, disk, time);
        memory = options.Before is { } before ? new FrameMemory(before) : null;
        status = Now(null);
    }

    /// <summary>How it stands, at most 200 ms old. Any thread.</summary>
    public RecordingStatus Status => Volatile.Read(ref status);

    /// <summary>How often reading of a live source had to wait because the disk could not keep up. The reading thread alone.</summary>
    public long Waits => isLive ? queue.Waits : 0;

    /// <summary>Starts the recording's thread.</summary>
    public void Start()
    {
        thread = new Thread(RunOnThread) { Name = "recording", IsBackground = true };
        thread.Start();
    }

    /// <summary>Hands over the frames of a batch. The reading thread alone.</summary>
    /// <param name="frames">The frames; copied.</param>
    /// <param name="buses">The buses of the source; a list that only grows.</param>
    /// <param name="cancellation">Ends the waiting for room.</param>
    /// <returns>False once the recording has failed; <see cref="Status"/> says why.</returns>
    public bool Accept(FrameBatch frames, IReadOnlyList<Bus> buses, CancellationToken cancellation)
    {
        ArgumentNullException.ThrowIfNull(frames);
        ArgumentNullException.ThrowIfNull(buses);
        return queue.Add(frames, buses, cancellation);
    }

    /// <summary>Says how many frames of a bus its source has lost so far. Any thread.</summary>
    public void ReportLost(int bus, long total)
    {
        lock (gate)
        {
            lost[bus] = total;
        }
    }

    /// <summary>Writes a comment that belongs to the recording as a whole, and to no frame. Any thread.</summary>
    public void Remark(string text)
    {
        lock (gate)
        {
            remarks.Enqueue(text);
        }
    }

    /// <summary>Writes a person's note beside the frame that comes next; while it waits for its trigger, it begins. Any thread.</summary>
    public void Mark(string note)
    {
        queue.Note(note);
        isTriggered = true;
    }

    /// <summary>Begins now, if it still waits. Any thread.</summary>
    public void Trigger() => isTriggered = true;

    /// <summary>Writes everything handed over so far, completes the file and ends the thread.</summary>
    /// <returns>How it stands in the end.</returns>
    public RecordingStatus Stop()
    {
        queue.Complete();
        thread?.Join();
        fault?.Throw();
        return Status;
    }

    /// <inheritdoc/>
    public void Dispose()
    {
        queue.Complete();
        thread?.Join();
        writer.Dispose();
    }

    /// <summary>Once round: take, write or remember, do what is due.</summary>
    /// <param name="patience">How long to wait for frames.</param>
    /// <returns>Whether there will be another turn.</returns>
    internal bool Turn(TimeSpan patience)
    {
        try
        {
            var state = queue.Take(batch, patience, CancellationToken.None);
            writer.Meet(queue.Buses);
            Take();
            TakeLost();
            TakeRemarks();
            RemarkNotes(state);
            if (state == SourceState.Ended)
            {
                writer.Complete();
                Tell(null);
                return false;
            }

            writer.Tick();
        }
        catch (IOException e)
        {
            queue.Abandon();
            Tell(e.Message);
            return false;
        }

        if (time.GetElapsedTime(told) >= TellEvery)
        {
            Tell(null);
        }

        return true;
    }

    private void Take()
    {
        if (memory is null)
        {
            if (batch.Count > 0)
            {
                WriteFrom(0);
            }

            return;
        }

        var at = isTriggered ? 0 : trigger?.Find(batch, queue.Buses) ?? -1;
        if (at < 0)
        {
            memory.Add(batch, batch.Count);
            return;
        }

        memory.Add(batch, at);
        memory.Empty(at < batch.Count ? batch.Frames[at].Time : null, writer.Write);
        noRoomBefore = memory.NoRoom;
        memory = null;
        Tell(null);
        WriteFrom(at);
    }

    // Writes the batch from a frame on, as far as the recording goes.
    private void WriteFrom(int first)
    {
        if (isOver)
        {
            return;
        }

        begun = begun.IsKnown || first == batch.Count ? begun : batch.Frames[first].Time;
        if (length is null && first == 0)
        {
            writer.Write(batch);
            return;
        }

        part.Clear();
        for (var i = first; i < batch.Count; i++)
        {
            if (length is { } span && batch.Frames[i].Time - begun > span)
            {
                isOver = true;
                break;
            }

            part.Add() = batch.Frames[i];
            foreach (var note in batch.Notes)
            {
                if (note.Index == i)
                {
                    part.Note(note.Text);
                }
            }
        }

        if (part.Count > 0)
        {
            writer.Write(part);
        }

        if (isOver)
        {
            Tell(null);
        }
    }

    private void TakeLost()
    {
        lock (gate)
        {
            foreach (var (bus, total) in lost)
            {
                writer.ReportLost(bus, total);
            }
        }
    }

    // Where there is no bus yet nothing can hold them; while it waits for its trigger there is nothing that they are about.
    private void TakeRemarks()
    {
        lock (gate)
        {
            while (memory is null && remarks.TryPeek(out var text) && writer.Remark(text))
            {
                remarks.Dequeue();
            }
        }
    }

    private void RemarkNotes(SourceState state)
    {
        quiet = state == SourceState.Frames ? 0 : quiet + 1;
        if (memory is not null || (quiet < QuietTurns && state != SourceState.Ended))
        {
            return;
        }

        while (queue.TakeWaitingNote() is { } text)
        {
            _ = writer.Remark(text);
        }
    }

    private void Tell(string? failure)
    {
        Volatile.Write(ref status, Now(failure));
        told = time.GetTimestamp();
    }

    private RecordingStatus Now(string? failure) => new(writer.Path)
    {
        IsWaiting = memory is not null,
        IsOver = isOver,
        Frames = writer.Frames,
        Bytes = writer.Bytes,
        Files = writer.Files,
        Removed = writer.Removed,
        Lost = writer.Lost,
        Waits = Waits,
        NoRoomBefore = memory?.NoRoom ?? noRoomBefore,
        Failure = failure,
    };

    private void RunOnThread()
    {
        try
        {
            while (Turn(Patience))
            {
            }
        }
#pragma warning disable CA1031 // Whatever it is: the reading thread must not wait for ever, and Stop throws it again.
        catch (Exception e)
#pragma warning restore CA1031
        {
            queue.Abandon();
            fault = ExceptionDispatchInfo.Capture(e);
        }
    }
}
