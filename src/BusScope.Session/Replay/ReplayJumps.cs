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
    private bool isFrameBackWanted;
    private ReplayLoop? loop;

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

    /// <summary>Where it is to go, until it is there; else null.</summary>
    public FrameTime? Wanted
    {
        get { lock (gate) { return wanted; } }
        set { lock (gate) { (wanted, isFrameBackWanted) = (value, false); } }
    }

    /// <summary>Between which moments it goes round; null for on and on.</summary>
    public ReplayLoop? Loop
    {
        get { lock (gate) { return loop; } }
        set { lock (gate) { loop = value; } }
    }

    /// <summary>Goes back by one frame.</summary>
    public void BackByFrame()
    {
        lock (gate)
        {
            (wanted, isFrameBackWanted) = (null, true);
        }
    }

    /// <summary>Goes where it is wanted, as soon as that is known.</summary>
    /// <param name="present">The run that stands where one is; disposed when another one takes its place.</param>
    /// <param name="hasEnded">Whether that run has come to its end.</param>
    /// <param name="cancellation">Ends the way.</param>
    /// <returns>The run to go on with.</returns>
    /// <exception cref="SourceException">The recording cannot be read again.</exception>
    public ReplayRun Obey(ReplayRun present, bool hasEnded, CancellationToken cancellation)
    {
        var (time, isFrameBack, round) = (Wanted, isFrameBackWanted, Loop);
        if (round is not null && time is null && !isFrameBack && (hasEnded || present.IsAtLimit))
        {
            time = Wanted = round.From;
        }

        var goal = isFrameBack ? Goal.After(Math.Max(1, present.Standing.Frames - 1))
            : time is { } known && survey.Current.Find(known, present.Standing.Stretch) is { } moment ? Goal.At(moment)
            : (Goal?)null;
        if (goal is not { } found)
        {
            return Within(present, round);
        }

        lock (gate)
        {
            // Unless somebody wants something else by now.
            (wanted, isFrameBackWanted) = (wanted == time ? null : wanted, false);
        }

        return Within(Go(present, hasEnded, found, cancellation), round);
    }

    /// <inheritdoc/>
    public void Dispose() => survey.Dispose();

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

        var run = ReplayRun.From(open(), checkpoint, pace);
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

    private static ReplayRun Within(ReplayRun run, ReplayLoop? loop)
    {
        run.Limit = loop is null ? Moment.End : new Moment(run.Standing.Stretch, loop.To);
        return run;
    }
}

/// <summary>A part of a recording that is replayed over and over.</summary>
/// <param name="From">Its first moment.</param>
/// <param name="To">Its last moment.</param>
public sealed record ReplayLoop(FrameTime From, FrameTime To);
