using BusScope.Frames;
using BusScope.Health;
using BusScope.Signals.Plans;

namespace BusScope.Session.Replay;

/// <summary>
/// Where a person wants to be in a recording, and how one gets there: from the last checkpoint before it, or from where one stands, whichever
/// is nearer. Asked by any thread, obeyed by the session's.
/// </summary>
internal sealed class ReplayJumps : IDisposable
{
    private readonly Func<IFrameSource> open;
    private readonly Survey survey;
    private readonly ReplayPace pace;
    private readonly Lock gate = new();
    private FrameTime? wanted;
    private int stepsBack;
    private ReplayLoop? loop;
    private string? failure;

    // Gives up the way on which the session's thread is.
    private CancellationTokenSource? way;

    /// <summary>Jumps in a recording.</summary>
    /// <param name="open">Opens it afresh.</param>
    /// <param name="plan">What its frames are held against.</param>
    /// <param name="options">What is measured beside.</param>
    /// <param name="pace">How recorded time passes.</param>
    /// <param name="time">Where the time of the room comes from.</param>
    public ReplayJumps(Func<IFrameSource> open, DefinitionPlan plan, MonitorOptions options, ReplayPace pace, TimeProvider time)
    {
        this.open = open;
        this.pace = pace;
        survey = new Survey(open, plan, options, time);
    }

    /// <summary>The reading ahead of the replay.</summary>
    public Survey Survey => survey;

    /// <summary>Where it is to go, until it sets out; else null.</summary>
    public FrameTime? Wanted
    {
        get { lock (gate) { return wanted; } }
        set => Wish(() => (wanted, stepsBack) = (value, 0));
    }

    /// <summary>Between which moments it goes round; null for on and on.</summary>
    public ReplayLoop? Loop
    {
        get { lock (gate) { return loop; } }
        set { lock (gate) { (loop, failure) = (value, null); } }
    }

    /// <summary>Why it is not where it was wanted last, in one sentence; null while nothing stands in the way.</summary>
    public string? Failure
    {
        get { lock (gate) { return failure; } }
    }

    /// <summary>Goes back by one frame more.</summary>
    public void BackByFrame() => Wish(() => (wanted, stepsBack) = (null, stepsBack + 1));

    /// <summary>Goes where it is wanted, as soon as that is known. Where that cannot be, says so in <see cref="Failure"/> and stays.</summary>
    /// <param name="present">The run that stands where one is; disposed when another one takes its place.</param>
    /// <param name="hasEnded">Whether that run has come to its end.</param>
    /// <param name="cancellation">Ends the way.</param>
    /// <returns>The run to go on with.</returns>
    public ReplayRun Obey(ReplayRun present, bool hasEnded, CancellationToken cancellation)
    {
        if (Next(present, hasEnded) is var (goal, round))
        {
            try
            {
                present = Go(present, hasEnded, goal, cancellation);
            }
            catch (SourceException e)
            {
                Fail(e.Message, round);
            }
            catch (OperationCanceledException) when (!cancellation.IsCancellationRequested)
            {
                // Something else is wanted by now.
            }
        }

        present.Limit = Loop is { } part ? new Moment(present.Standing.Stretch, part.To) : Moment.End;
        return present;
    }

    /// <inheritdoc/>
    public void Dispose() => survey.Dispose();

    private void Wish(Action change)
    {
        lock (gate)
        {
            change();
            failure = null;
            way?.Cancel();
        }
    }

    private void Fail(string why, ReplayLoop? round)
    {
        lock (gate)
        {
            failure = why;

            // What failed at its end would fail there for ever.
            loop = round is not null && loop == round ? null : loop;
        }
    }

    // Takes what is wanted, so that what is wanted from now on is something else; and the loop if it is that which goes round.
    private (Goal Goal, ReplayLoop? Round)? Next(ReplayRun present, bool hasEnded)
    {
        lock (gate)
        {
            if (stepsBack > 0)
            {
                var goal = Goal.After(Math.Max(1, present.Standing.Frames - stepsBack));
                (stepsBack, failure) = (0, null);
                return (goal, null);
            }

            var round = wanted is null && ((hasEnded && !pace.IsPaused) || present.IsAtLimit) ? loop : null;
            wanted ??= round?.From;
            if (wanted is not { } time)
            {
                return null;
            }

            var known = survey.Current;
            if (known.Find(time, present.Standing.Stretch) is { } moment)
            {
                (wanted, failure) = (null, null);
                return (Goal.At(moment), round);
            }

            if (known.IsOver)
            {
                wanted = null;
                Fail(known.Failure ?? "the recording has no such moment", round);
            }

            return null;
        }
    }

    private ReplayRun Go(ReplayRun present, bool hasEnded, Goal goal, CancellationToken cancellation)
    {
        var checkpoint = survey.Checkpoints.Before(goal);
        var isNearer = !hasEnded && goal.IsAhead(present.Standing) && !(present.Now > goal.Until.Time) && present.Standing.Frames >= checkpoint.At.Frames;
        if (isNearer)
        {
            present.Limit = Moment.End;
            present.RunTo(goal, cancellation);
            return present;
        }

        var run = From(checkpoint, cancellation);
        try
        {
            run.RunTo(goal, cancellation);
        }
        catch
        {
            run.Dispose();
            throw;
        }

        present.Dispose();
        return run;
    }

    // Only the way to the checkpoint is given up when something else is wanted: from there it is short, and whoever holds a key down is to see something.
    private ReplayRun From(Checkpoint checkpoint, CancellationToken cancellation)
    {
        using var giveUp = CancellationTokenSource.CreateLinkedTokenSource(cancellation);
        lock (gate)
        {
            way = giveUp;
            if (wanted is not null || stepsBack > 0)
            {
                giveUp.Cancel();
            }
        }

        try
        {
            return ReplayRun.From(open(), checkpoint, pace, giveUp.Token);
        }
        finally
        {
            lock (gate)
            {
                way = null;
            }
        }
    }
}

/// <summary>A part of a recording that is replayed over and over.</summary>
/// <param name="From">Its first moment.</param>
/// <param name="To">Its last moment.</param>
public sealed record ReplayLoop(FrameTime From, FrameTime To);
