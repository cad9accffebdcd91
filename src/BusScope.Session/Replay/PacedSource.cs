using BusScope.Frames;

namespace BusScope.Session.Replay;

/// <summary>
/// A recording that gives its frames when their time has come. Frames stay in the order of the recording: where buses are
/// slightly out of order there, a frame may wait for the one before it, but is never overtaken.
/// </summary>
public sealed class PacedSource : SourceAround
{
    private readonly ReplayPace pace;
    private readonly FrameBatch ahead;
    private Standing standing;
    private long toSkip;
    private int next;

    /// <summary>A recording from its beginning.</summary>
    /// <param name="recording">The source whose frames are held back; disposed with this one.</param>
    /// <param name="pace">How recorded time passes.</param>
    public PacedSource(IFrameSource recording, ReplayPace pace)
        : this(recording, pace, Standing.Beginning, 0)
    {
    }

    /// <summary>A recording from where one stands in it.</summary>
    /// <param name="recording">The source whose frames are held back; disposed with this one.</param>
    /// <param name="pace">How recorded time passes.</param>
    /// <param name="standing">Where one stands.</param>
    /// <param name="toSkip">Frames that the source gives first and that were passed already.</param>
    internal PacedSource(IFrameSource recording, ReplayPace pace, Standing standing, long toSkip)
        : base(recording)
    {
        this.pace = pace;
        this.standing = standing;
        this.toSkip = toSkip;
        ahead = new FrameBatch(standing.Frames - toSkip + 1);
    }

    /// <summary>How far the frames have come that were given.</summary>
    internal Standing Standing => standing;

    /// <summary>Whether frames were read ahead that are not given yet.</summary>
    internal bool HoldsFrames => next < ahead.Count;

    /// <summary>Nothing later than this is given.</summary>
    internal Moment Limit { get; set; } = Moment.End;

    /// <summary>Whether all is given that comes before <see cref="Limit"/>.</summary>
    internal bool IsAtLimit => next < ahead.Count && !pace.IsPaused && standing.MomentOf(ahead.Frames[next].Time).CompareTo(Limit) > 0
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
            var now = next < ahead.Count ? pace.Position : standing.Latest;
            now = Limit.Stretch == standing.Stretch && now > Limit.Time ? Limit.Time : now;
            var latest = standing.Latest;
            foreach (ref readonly var frame in ahead.Frames[next..])
            {
                // There is no time between the last frame and the first one after the clock was set back.
                if (standing.IsSetBack(frame.Time))
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
        : ahead.Frames[next].Time is var time && standing.MomentOf(time).CompareTo(Limit) > 0 ? pace.Until(Limit.Time)
        : pace.Until(time);

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
        var time = ahead.Frames[next].Time;
        var (atMost, until) = pace.Allow(time, standing.IsSetBack(time));
        var limit = new Goal(Limit, standing.Frames + atMost);
        while (next < ahead.Count && (time = ahead.Frames[next].Time) <= until && limit.Takes(standing, time) && (next == first || !standing.IsSetBack(time)))
        {
            Give(batch, time);
        }

        if (batch.Count == 0)
        {
            return SourceState.Idle;
        }

        pace.Passed(standing.Latest);
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

        while (next < ahead.Count && ahead.Frames[next].Time is var time && goal.Takes(standing, time))
        {
            Give(batch, time);
        }

        return batch.Count > 0 ? SourceState.Frames : SourceState.Idle;
    }

    /// <summary>Only while no frame is held back.</summary>
    /// <inheritdoc/>
    public override SourcePlace? Place() => HoldsFrames ? null : Inner.Place();

    private SourceState ReadAhead(CancellationToken cancellation)
    {
        while (next == ahead.Count)
        {
            next = 0;
            if (Inner.Read(ahead, cancellation) is not SourceState.Frames and var state)
            {
                return state;
            }

            next = (int)Math.Min(toSkip, ahead.Count);
            toSkip -= next;
        }

        return SourceState.Frames;
    }

    private void Give(FrameBatch batch, FrameTime time)
    {
        batch.Add() = ahead.Frames[next];
        if (ahead.Notes.Count > 0)
        {
            CopyNotes(batch);
        }

        next++;
        standing = standing.After(time);
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
