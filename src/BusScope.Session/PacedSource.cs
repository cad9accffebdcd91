using BusScope.Frames;

namespace BusScope.Session;

/// <summary>
/// A recording that gives its frames when their time has come. Frames stay in the order of the recording: where buses are
/// slightly out of order there, a frame may wait for the one before it, but is never overtaken.
/// </summary>
/// <param name="recording">The source whose frames are held back; disposed with this one.</param>
/// <param name="pace">How recorded time passes.</param>
public sealed class PacedSource(IFrameSource recording, ReplayPace pace) : SourceAround(recording)
{
    // Buses may be this far out of order; what steps back further is a clock that was set.
    private static readonly FrameSpan LargestStepBack = FrameSpan.FromSeconds(1);

    private readonly FrameBatch ahead = new();
    private int next;

    // The frame given last, and the latest one since the clock was set.
    private FrameTime last = FrameTime.Never;
    private FrameTime latest = FrameTime.Never;

    /// <summary>
    /// How far time has gone on: where the replay stands, but not beyond a frame that is still to come, so that nobody is
    /// called late whose frame only waits: behind another bus, or because the machine is slower than the pace. Null before the
    /// first frame.
    /// </summary>
    internal FrameTime? Now
    {
        get
        {
            // With nothing read ahead it is not known when the next frame comes.
            var now = next < ahead.Count ? pace.Position : latest;
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
    public override SourceState Read(FrameBatch batch, CancellationToken cancellation)
    {
        ArgumentNullException.ThrowIfNull(batch);
        batch.Clear();
        if (next == ahead.Count)
        {
            next = 0;
            if (Inner.Read(ahead, cancellation) is not SourceState.Frames and var state)
            {
                return state;
            }
        }

        var first = next;
        var (atMost, until) = pace.Allow(ahead.Frames[next].Time, StepsBack);
        while (next < ahead.Count && next - first < atMost && ahead.Frames[next].Time <= until && (next == first || !StepsBack))
        {
            batch.Add() = ahead.Frames[next++];
            Pass(ahead.Frames[next - 1].Time);
            CopyNotes(batch);
        }

        return batch.Count > 0 ? SourceState.Frames : SourceState.Idle;
    }

    private bool StepsBack => last.IsKnown && ahead.Frames[next].Time < last - LargestStepBack;

    private void Pass(FrameTime time)
    {
        var isSet = last.IsKnown && time < last - LargestStepBack;
        latest = isSet || time > latest ? time : latest;
        last = time;
        pace.Passed(time);
    }

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
