using BusScope.Frames;
using BusScope.Frames.Diagnostics;
using BusScope.Transport.Recording;

namespace BusScope.Session.Recording;

/// <summary>
/// A source that is recorded while it is read. Every frame goes to the recorder before anybody else sees it. When the recording
/// fails the source goes on, and says so among its problems. Used by one thread at a time, as every source.
/// </summary>
/// <param name="source">The source; disposed with this one, after the recording was completed.</param>
/// <param name="recorder">A recorder that was started; disposed with this one.</param>
public sealed class RecordedSource(IFrameSource source, Recorder recorder) : SourceAround(source)
{
    /// <summary>The disk could not keep up, and reading had to wait for it.</summary>
    public static readonly ProblemKind DiskTooSlow = new("recording-slow", "the disk could not keep up with the recording, and reading waited for it");

    /// <summary>The recording ended before its source did.</summary>
    public static readonly ProblemKind RecordingFailed = new("recording-failed", "the recording ended early");

    // Three seconds of four buses at full load. A bus that never pauses must not keep a recording from its end.
    private const int LargestRest = 100_000;

    private readonly ProblemLog own = new();
    private volatile bool isOver;
    private volatile bool isFailed;
    private bool hasEnded;
    private int remarked;
    private long waits;

    /// <summary>The problems of the source and of the recording together, as they stand now.</summary>
    public override ProblemLog Problems => ProblemCopies.Of([Inner.Problems, own]);

    /// <inheritdoc/>
    public override SourceState Read(FrameBatch batch, CancellationToken cancellation)
    {
        ArgumentNullException.ThrowIfNull(batch);
        SourceState state;
        try
        {
            state = Inner.Read(batch, cancellation);
        }
        catch (SourceException)
        {
            hasEnded = true;
            TellBeside();
            throw;
        }

        // The recording is not broken off with the reading: what the source gave is in it.
        if (!isFailed && !recorder.Accept(batch, Inner.Buses, CancellationToken.None))
        {
            isFailed = true;
            own.Add(RecordingFailed, new ProblemPlace(batch.FirstNumber), recorder.Status.Failure);
        }

        hasEnded = state == SourceState.Ended;
        if (state != SourceState.Frames)
        {
            TellBeside();
        }

        CountWaits(batch);
        return state;
    }

    /// <summary>What is recorded, without what the recording itself has to say.</summary>
    public IFrameSource Recorded => Inner;

    /// <summary>What is recorded is read once, from its beginning.</summary>
    /// <inheritdoc/>
    public override SourcePlace? Place() => null;

    /// <summary>Whether the recording still goes on. Any thread.</summary>
    public bool IsRecording => !isOver && !isFailed;

    /// <summary>Writes a person's note beside the frame that comes next. Any thread.</summary>
    /// <param name="note">What the person has to say; empty for a mark alone.</param>
    public void Mark(string note)
    {
        ArgumentNullException.ThrowIfNull(note);
        recorder.Mark(note.Length == 0 ? "mark" : $"mark: {note}");
    }

    /// <summary>Completes the recording, if nobody has yet.</summary>
    /// <param name="takesRest">
    /// Whether what a live source has by now, and nobody has read, is recorded too: so it is when somebody breaks off, and not when the
    /// recording has the length it was to have.
    /// </param>
    /// <returns>How it stands in the end.</returns>
    public RecordingStatus Complete(bool takesRest = true)
    {
        if (!isOver)
        {
            if (takesRest && Clock != SourceClock.Recorded)
            {
                TakeTheRest();
            }

            isOver = true;
            TellBeside();
            return recorder.Stop();
        }

        return recorder.Status;
    }

    /// <inheritdoc/>
    public override void Dispose()
    {
        try
        {
            _ = Complete();
        }
        finally
        {
            recorder.Dispose();
            base.Dispose();
        }
    }

    // A source that fails now, and was read to here, has no rest.
    private void TakeTheRest()
    {
        var (batch, atOnce) = (new FrameBatch(), new CancellationToken(canceled: true));
        try
        {
            for (var taken = 0; taken < LargestRest && !hasEnded && !isFailed && Read(batch, atOnce) == SourceState.Frames; taken += batch.Count)
            {
            }
        }
        catch (Exception e) when (e is SourceException or OperationCanceledException)
        {
            hasEnded = true;
        }
    }

    // What belongs to no frame: losses of the adapters, and comments on a capture as a whole.
    private void TellBeside()
    {
        for (var known = Inner.Comments; remarked < known.Count; remarked++)
        {
            recorder.Remark(known[remarked]);
        }

        for (var i = 0; i < Inner.Buses.Count; i++)
        {
            if (Inner.StatusOf(i) is { LostFrames: > 0 and var lost })
            {
                recorder.ReportLost(i, lost);
            }
        }
    }

    private void CountWaits(FrameBatch batch)
    {
        var now = recorder.Waits;
        if (now > waits)
        {
            own.Add(DiskTooSlow, new ProblemPlace(batch.FirstNumber), count: now - waits);
            waits = now;
        }
    }
}
