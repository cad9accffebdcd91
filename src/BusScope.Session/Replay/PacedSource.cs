using BusScope.Frames;

namespace BusScope.Session.Replay;

/// <summary>
/// A recording that gives its frames when their time has come. Frames stay in the order of the recording: where buses are
/// slightly out of order there, a frame may wait for the one before it, but is never overtaken.
/// </summary>
public sealed class PacedSource : SourceAround
{
    private readonly ReplayPace pace;
    private readonly Passage passage;
    private FrameBatch ahead;
    private int next;
    private SourceException? failure;

    /// <summary>A recording from its beginning.</summary>
    /// <param name="recording">The source whose frames are held back; disposed with this one.</param>
    /// <param name="pace">How recorded time passes.</param>
    public PacedSource(IFrameSource recording, ReplayPace pace)
        : this(recording, pace, new Passage())
    {
    }

    /// <summary>A recording from where one stands in it.</summary>
    /// <param name="recording">The source whose frames are held back; disposed with this one.</param>
    /// <param name="pace">How recorded time passes.</param>
    /// <param name="passage">The way up to there; goes on with this source.</param>
    internal PacedSource(IFrameSource recording, ReplayPace pace, Passage passage)
        : base(recording)
    {
        this.pace = pace;
        this.passage = passage;
        ahead = new FrameBatch(passage.Standing.Frames + 1);
    }

    /// <summary>How far the frames have come that were given.</summary>
    internal Standing Standing => passage.Standing;

    /// <summary>Whether frames were read ahead that are not given yet.</summary>
    internal bool HoldsFrames => next < ahead.Count;

    /// <summary>Nothing later than this is given.</summary>
    internal Moment Limit { get; set; } = Moment.End;

    /// <summary>Whether all is given that comes before <see cref="Limit"/>.</summary>
    internal bool IsAtLimit => next < ahead.Count && !pace.IsPaused && passage.MomentOf(ahead.Frames[next]).CompareTo(Limit) > 0
        && (double.IsPositiveInfinity(pace.Speed) || pace.Position >= Limit.Time);

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
            var latest = Standing.Latest;
            var now = next < ahead.Count ? pace.Position : latest;
            now = Limit.Stretch == Standing.Stretch && now > Limit.Time ? Limit.Time : now;
            foreach (ref readonly var frame in ahead.Frames[next..])
            {
                // There is no time between the last frame and the first one after the clock was set back.
                if (passage.IsSetBack(frame))
                {
                    now = latest < now ? latest : now;
                    break;
                }

                latest = frame.Time > latest ? frame.Time : latest;
                now = frame.Time < now ? frame.Time : now;
            }

            return now.IsKnown ? now : null;
        }
    }

    /// <summary>How long nothing will be due if nobody turns the pace.</summary>
    internal TimeSpan UntilNext => next == ahead.Count ? TimeSpan.Zero
        : pace.Until(passage.MomentOf(ahead.Frames[next]).CompareTo(Limit) > 0 ? Limit.Time : ahead.Frames[next].Time);

    /// <summary>Gives the frames that are due, or says <see cref="SourceState.Idle"/> at once: the caller waits.</summary>
    /// <inheritdoc/>
    public override SourceState Read(FrameBatch batch, CancellationToken cancellation)
    {
        ArgumentNullException.ThrowIfNull(batch);
        batch.Clear();
        if (ReadAhead(cancellation) is not SourceState.Frames and var state)
        {
            return state;
        }

        var first = next;
        var (atMost, until) = pace.Allow(ahead.Frames[next].Time, passage.IsSetBack(ahead.Frames[next]));
        var limit = new Goal(Limit, Standing.Frames + atMost);
        while (next < ahead.Count && ahead.Frames[next].Time <= until && limit.Takes(passage, ahead.Frames[next]) && (next == first || !passage.IsSetBack(ahead.Frames[next])))
        {
            Give(batch);
        }

        if (batch.Count == 0)
        {
            return SourceState.Idle;
        }

        pace.Passed(Standing.Latest);
        return SourceState.Frames;
    }

    /// <summary>Gives frames up to a goal without waiting for their time; <see cref="SourceState.Idle"/> when it is reached.</summary>
    internal SourceState ReadTo(Goal goal, FrameBatch batch, CancellationToken cancellation)
    {
        batch.Clear();
        if (ReadAhead(cancellation) is not SourceState.Frames and var state)
        {
            return state;
        }

        while (next < ahead.Count && goal.Takes(passage, ahead.Frames[next]))
        {
            Give(batch);
        }

        return batch.Count > 0 ? SourceState.Frames : SourceState.Idle;
    }

    /// <summary>Only while no frame is held back.</summary>
    /// <inheritdoc/>
    public override SourcePlace? Place() => HoldsFrames ? null : Inner.Place();

    /// <summary>Reads over what was passed already, of a recording that stands at its beginning. In a large file that takes seconds.</summary>
    /// <exception cref="SourceException">It fails on the way, or has fewer frames than were passed.</exception>
    /// <exception cref="OperationCanceledException">It was given up.</exception>
    internal void PassOver(CancellationToken cancellation)
    {
        ahead = new FrameBatch();
        for (var toPass = Standing.Frames; toPass > 0; toPass -= next)
        {
            cancellation.ThrowIfCancellationRequested();
            next = Inner.Read(ahead, cancellation) != SourceState.Ended
                ? (int)Math.Min(toPass, ahead.Count)
                : throw new SourceException($"{Name}: has fewer frames than when it was read before");
        }
    }

    private SourceState ReadAhead(CancellationToken cancellation)
    {
        while (next == ahead.Count)
        {
            // What failed fails for everybody who asks, and is not read once more.
            if (failure is not null)
            {
                throw failure;
            }

            next = 0;
            try
            {
                if (Inner.Read(ahead, cancellation) is not SourceState.Frames and var state)
                {
                    return state;
                }
            }
            catch (SourceException e)
            {
                ahead.Clear();
                failure = e;
            }
        }

        return SourceState.Frames;
    }

    private void Give(FrameBatch batch)
    {
        batch.Add() = ahead.Frames[next];
        if (ahead.Notes.Count > 0)
        {
            CopyNotes(batch);
        }

        passage.Pass(ahead.Frames[next++]);
    }

    private void CopyNotes(FrameBatch batch)
    {
        foreach (var note in ahead.Notes)
        {
            if (note.Index == next)
            {
                batch.Note(note.Text);
            }
        }
    }
}
