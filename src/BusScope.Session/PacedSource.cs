using BusScope.Frames;
using BusScope.Frames.Diagnostics;

namespace BusScope.Session;

/// <summary>
/// A recording that gives its frames when their time has come. Frames stay in the order of the recording: where buses are
/// slightly out of order there, a frame may wait for the one before it, but is never overtaken.
/// </summary>
/// <param name="recording">The source whose frames are held back; disposed with this one.</param>
/// <param name="pace">How recorded time passes.</param>
public sealed class PacedSource(IFrameSource recording, ReplayPace pace) : IFrameSource
{
    private readonly FrameBatch ahead = new();
    private int next;

    /// <inheritdoc/>
    public string Name => recording.Name;

    /// <inheritdoc/>
    public IReadOnlyList<Bus> Buses => recording.Buses;

    /// <inheritdoc/>
    public ProblemLog Problems => recording.Problems;

    /// <inheritdoc/>
    public double? Progress => recording.Progress;

    /// <summary>
    /// How far time has gone on: where the replay stands, but not beyond a frame that is still to come, so that nobody is
    /// called late whose frame only waits behind another bus. Null before the first frame.
    /// </summary>
    internal FrameTime? Now
    {
        get
        {
            var now = pace.Position;
            foreach (ref readonly var frame in ahead.Frames[next..])
            {
                now = frame.Time < now ? frame.Time : now;
            }

            return now.IsKnown ? now : null;
        }
    }

    /// <summary>How long nothing will be due if nobody turns the pace.</summary>
    internal TimeSpan UntilNext => next < ahead.Count ? pace.Until(ahead.Frames[next].Time) : TimeSpan.Zero;

    /// <summary>Gives the frames that are due, or says <see cref="SourceState.Idle"/> at once: the caller waits.</summary>
    /// <inheritdoc/>
    public SourceState Read(FrameBatch batch, CancellationToken cancellation)
    {
        ArgumentNullException.ThrowIfNull(batch);
        batch.Clear();
        if (next == ahead.Count)
        {
            next = 0;
            if (recording.Read(ahead, cancellation) is not SourceState.Frames and var state)
            {
                return state;
            }
        }

        var first = next;
        var (atMost, until) = pace.Allow(ahead.Frames[next].Time);
        while (next < ahead.Count && next - first < atMost && ahead.Frames[next].Time <= until && !StepsBack(first))
        {
            batch.Add() = ahead.Frames[next++];
            pace.Passed(ahead.Frames[next - 1].Time);
            CopyNotes(batch);
        }

        return batch.Count > 0 ? SourceState.Frames : SourceState.Idle;
    }

    /// <inheritdoc/>
    public void Dispose() => recording.Dispose();

    // From there on the pace counts anew.
    private bool StepsBack(int first) => next > first && ahead.Frames[next].Time < ahead.Frames[next - 1].Time - ReplayPace.LargestStepBack;

    private void CopyNotes(FrameBatch batch)
    {
        foreach (var note in ahead.Notes)
        {
            if (note.Index == next - 1)
            {
                batch.Note(note.Text);
            }
        }
    }
}
