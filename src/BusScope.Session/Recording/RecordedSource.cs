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
public sealed class RecordedSource(IFrameSource source, Recorder recorder) : IFrameSource
{
    /// <summary>The disk could not keep up, and reading had to wait for it.</summary>
    public static readonly ProblemKind DiskTooSlow = new("recording-slow", "the disk could not keep up with the recording, and reading waited for it");

    /// <summary>The recording ended before its source did.</summary>
    public static readonly ProblemKind RecordingFailed = new("recording-failed", "the recording ended early");

    private readonly ProblemLog own = new();
    private volatile bool isOver;
    private volatile bool isFailed;
    private long waits;

    /// <inheritdoc/>
    public string Name => source.Name;

    /// <inheritdoc/>
    public IReadOnlyList<Bus> Buses => source.Buses;

    /// <summary>The problems of the source and of the recording together, as they stand now.</summary>
    public ProblemLog Problems => ProblemCopies.Of([source.Problems, own]);

    /// <inheritdoc/>
    public double? Progress => source.Progress;

    /// <inheritdoc/>
    public SourceClock Clock => source.Clock;

    /// <inheritdoc/>
    public ControllerStatus? StatusOf(int bus) => source.StatusOf(bus);

    /// <inheritdoc/>
    public SourceState Read(FrameBatch batch, CancellationToken cancellation)
    {
        ArgumentNullException.ThrowIfNull(batch);
        SourceState state;
        try
        {
            state = source.Read(batch, cancellation);
        }
        catch (SourceException)
        {
            TellLost();
            throw;
        }

        // The recording is not broken off with the reading: what the source gave is in it.
        if (!isFailed && !recorder.Accept(batch, source.Buses, CancellationToken.None))
        {
            isFailed = true;
            own.Add(RecordingFailed, new ProblemPlace(batch.FirstNumber), recorder.Status.Failure);
        }

        if (state != SourceState.Frames)
        {
            TellLost();
        }

        CountWaits(batch);
        return state;
    }

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
    /// <returns>How it stands in the end.</returns>
    public RecordingStatus Complete()
    {
        if (!isOver)
        {
            isOver = true;
            TellLost();
            return recorder.Stop();
        }

        return recorder.Status;
    }

    /// <inheritdoc/>
    public void Dispose()
    {
        try
        {
            _ = Complete();
        }
        finally
        {
            recorder.Dispose();
            source.Dispose();
        }
    }

    private void TellLost()
    {
        for (var i = 0; i < source.Buses.Count; i++)
        {
            if (source.StatusOf(i) is { LostFrames: > 0 and var lost })
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
