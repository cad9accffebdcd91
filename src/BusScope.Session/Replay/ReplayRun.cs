using BusScope.Frames;
using BusScope.Health;
using BusScope.Session.Readings;

namespace BusScope.Session.Replay;

/// <summary>One way through a recording, from its beginning or from a checkpoint on. Used by one thread.</summary>
internal sealed class ReplayRun : IFollowed
{
    // After a jump the values of the signals are those of this last stretch of the way: as much as the page of signals draws.
    private static readonly FrameSpan SignalsBefore = FrameSpan.FromSeconds(10);

    private readonly FrameBatch batch = new();
    private readonly ReplayPace pace;
    private readonly PacedSource source;
    private readonly Lookout lookout;

    /// <summary>From the beginning.</summary>
    /// <param name="recording">The source; disposed with this.</param>
    /// <param name="monitor">What takes the frames in; nobody else may use it.</param>
    /// <param name="pace">How recorded time passes.</param>
    /// <param name="signals">What follows the signals, or null.</param>
    public ReplayRun(IFrameSource recording, HealthMonitor monitor, ReplayPace pace, SignalWatch? signals = null)
        : this(new PacedSource(recording, pace), new Lookout(monitor, new EventLog(), new Passage()), pace, signals)
    {
    }

    private ReplayRun(PacedSource source, Lookout lookout, ReplayPace pace, SignalWatch? signals)
    {
        this.source = source;
        this.lookout = lookout;
        this.pace = pace;
        Signals = signals;
    }

    /// <summary>From a checkpoint on.</summary>
    /// <param name="recording">The same recording, opened afresh; disposed with this.</param>
    /// <param name="checkpoint">Where to begin.</param>
    /// <param name="pace">How recorded time passes.</param>
    /// <param name="cancellation">Gives up the way to the checkpoint, which is long where the source is read from its beginning.</param>
    /// <exception cref="SourceException">It is not the recording that it was, or fails before the checkpoint.</exception>
    /// <exception cref="OperationCanceledException">The way was given up.</exception>
    public static ReplayRun From(IFrameSource recording, Checkpoint checkpoint, ReplayPace pace, CancellationToken cancellation)
    {
        var source = new PacedSource(recording, pace, checkpoint.State.Passage.Copy());
        try
        {
            if (checkpoint.Place is { } place)
            {
                recording.BeginAt(place);
            }
            else
            {
                source.PassOver(cancellation);
            }
        }
        catch
        {
            source.Dispose();
            throw;
        }

        return new ReplayRun(source, checkpoint.State.Copy(), pace, new SignalWatch(checkpoint.State.Monitor.Plan));
    }

    /// <inheritdoc/>
    public IFrameSource Source => source;

    /// <inheritdoc/>
    public HealthMonitor Monitor => lookout.Monitor;

    /// <inheritdoc/>
    public EventLog Events => lookout.Events;

    /// <inheritdoc/>
    public SignalWatch? Signals { get; }

    /// <inheritdoc/>
    public FrameTime? Now => source.Now;

    /// <summary>How far it has come.</summary>
    public Standing Standing => source.Standing;

    /// <summary>How often events were looked for.</summary>
    public long Looks => lookout.Looks;

    /// <summary>Nothing later than this is read on.</summary>
    public Moment Limit { set => source.Limit = value; }

    /// <summary>Whether it has come to its limit.</summary>
    public bool IsAtLimit => source.IsAtLimit;

    /// <summary>How long nothing will be due if nobody turns the pace.</summary>
    public TimeSpan? UntilNext => source.UntilNext;

    /// <inheritdoc/>
    public SourceState Turn(CancellationToken cancellation)
    {
        var state = source.Read(batch, cancellation);
        lookout.Accept(batch, source);
        Signals?.Accept(batch, source.Buses);
        Advance();
        return state;
    }

    /// <inheritdoc/>
    public HealthReport Report(bool isFinal)
    {
        LiveTurn.TellLost(source, Monitor);
        var report = Monitor.Report(isFinal);
        if (isFinal)
        {
            Events.Compare(report);
            Events.Compare(source);
        }

        return report;
    }

    /// <summary>Reads on to a goal, without waiting for anybody. Where the recording fails before it, the next turn says so.</summary>
    public void RunTo(Goal goal, CancellationToken cancellation)
    {
        try
        {
            while (source.ReadTo(goal, batch, cancellation) == SourceState.Frames)
            {
                lookout.Accept(batch, source);
                if (goal.Frames < long.MaxValue || batch.Frames[^1].Time > goal.Until.Time - SignalsBefore)
                {
                    Signals?.Accept(batch, source.Buses);
                }

                cancellation.ThrowIfCancellationRequested();
            }
        }
        catch (SourceException)
        {
            // The source keeps it for the next turn, which ends the session's reading with it, here as in an uncut replay.
        }

        // So many frames and no more: the next one may be of the same time.
        pace.MoveTo(goal.Frames == long.MaxValue ? goal.Until.Time : new FrameTime(Standing.Latest.Nanoseconds - 1));
        Advance();
    }

    /// <summary>Everything that is known here; null while frames are held back that were read ahead.</summary>
    public Checkpoint? Checkpoint() => source.HoldsFrames ? null : new Checkpoint(source.Place(), lookout.Copy());

    /// <inheritdoc/>
    public void Dispose() => source.Dispose();

    private void Advance()
    {
        if (source.Now is { } now)
        {
            lookout.Advance(now, source);
        }
    }
}
