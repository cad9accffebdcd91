using System.Runtime.ExceptionServices;
using BusScope.Frames;
using BusScope.Health;
using BusScope.Session.Readings;
using BusScope.Session.Recording;
using BusScope.Session.Replay;
using BusScope.Signals.Plans;

namespace BusScope.Session;

/// <summary>
/// The whole program in one loop: the source reads a batch of frames, the monitor holds them against the definitions, time
/// goes on, and at most twenty times a second a snapshot is put where a screen finds it. The loop has its own thread;
/// everything else here may be called from any thread.
/// </summary>
public sealed class MonitorSession : IWatchedSession, IDisposable
{
    /// <summary>Between two snapshots.</summary>
    public static readonly TimeSpan SnapshotEvery = TimeSpan.FromMilliseconds(50);

    // Frames that are due within this time come in one go; a person sees no difference, and the machine can rest.
    private static readonly TimeSpan ShortestWait = TimeSpan.FromMilliseconds(10);

    private readonly SessionView view;
    private readonly RecordedSource? recorded;
    private readonly ReplayJumps? jumps;
    private readonly CancellationTokenSource stop = new();
    private readonly AutoResetEvent wake = new(false);
    private readonly Lock closing = new();
    private IFollowed followed;
    private bool isClosed;
    private Thread? thread;
    private bool hasEnded;

    /// <summary>A session over a recording, held to its recorded time.</summary>
    /// <param name="recording">The source; disposed with the session.</param>
    /// <param name="monitor">What takes the frames in; nobody else may use it.</param>
    /// <param name="pace">How recorded time passes.</param>
    /// <param name="time">Where the time of the room comes from.</param>
    /// <param name="reopen">Opens the same recording afresh, from any thread, so that one can jump in it; null where it comes only once.</param>
    public MonitorSession(IFrameSource recording, HealthMonitor monitor, ReplayPace pace, TimeProvider time, Func<IFrameSource>? reopen = null)
    {
        ArgumentNullException.ThrowIfNull(monitor);
        Pace = pace;
        pace.Turned += Wake;
        if (reopen is not null)
        {
            jumps = new ReplayJumps(reopen, monitor.Plan, monitor.Options, pace, time);

            // Its thread has ended before the session is closed.
            jumps.Survey.Told += () => wake.Set();
        }

        recorded = recording as RecordedSource;
        followed = new ReplayRun(recording, monitor, pace, new SignalWatch(monitor.Plan));
        view = new SessionView(followed, recorded, time) { Pace = pace, Jumps = jumps };
    }

    /// <summary>A session over a live source.</summary>
    /// <param name="source">The source; disposed with the session.</param>
    /// <param name="monitor">What takes the frames in; nobody else may use it.</param>
    /// <param name="time">Where the time of the room comes from.</param>
    public MonitorSession(IFrameSource source, HealthMonitor monitor, TimeProvider time)
    {
        recorded = source as RecordedSource;
        followed = new LiveRun(source, monitor, time);
        view = new SessionView(followed, recorded, time);
    }

    /// <inheritdoc/>
    public ReplayPace? Pace { get; }

    /// <inheritdoc/>
    public bool CanJump => jumps is not null;

    /// <inheritdoc/>
    public SessionSnapshot Current => view.Current;

    /// <summary>A fault of our own that ended the loop, to be thrown again where the program ends; or null.</summary>
    public ExceptionDispatchInfo? Fault { get => field ?? jumps?.Survey.Fault; private set; }

    /// <summary>Starts the loop on its own thread, and in a recording the reading ahead of it on another.</summary>
    public void Start()
    {
        thread = new Thread(RunOnThread) { Name = "session", IsBackground = true };
        thread.Start();
        jumps?.Survey.Start();
    }

    /// <summary>Sets a mark at the moment that is shown: among the events, and in the recording where there is one.</summary>
    /// <inheritdoc/>
    public bool Mark(string note)
    {
        ArgumentNullException.ThrowIfNull(note);
        view.Mark(note);
        if (recorded is not { IsRecording: true })
        {
            return false;
        }

        recorded.Mark(note);
        return true;
    }

    /// <inheritdoc/>
    public void Follow(IReadOnlyList<ReadingRequest> wanted, MessageRequest? message = null)
    {
        ArgumentNullException.ThrowIfNull(wanted);
        view.Follow(wanted, message);
        Wake();
    }

    /// <inheritdoc/>
    public void Widen(DefinitionPlan plan)
    {
        ArgumentNullException.ThrowIfNull(plan);
        view.Widen(plan);
        Wake();
    }

    /// <inheritdoc/>
    public void JumpTo(FrameTime moment) => Ask(to => to.Wanted = moment);

    /// <inheritdoc/>
    public void StepBack()
    {
        if (jumps is not null && Pace is not null)
        {
            Pace.IsPaused = true;
            Ask(to => to.BackByFrame());
        }
    }

    /// <inheritdoc/>
    public void Repeat(ReplayLoop? part) => Ask(to => to.Loop = part);

    /// <summary>
    /// Ends the loop, waits for it, and closes the source. Any thread: a terminal that is taken away closes the session while the program
    /// may be closing it already. Whoever comes second returns when all is closed, for the program may end then.
    /// </summary>
    public void Dispose()
    {
        lock (closing)
        {
            if (isClosed)
            {
                return;
            }

            isClosed = true;
            stop.Cancel();
            jumps?.Dispose();
            thread?.Join();
            if (Pace is not null)
            {
                Pace.Turned -= Wake;
            }

            followed.Dispose();
            stop.Dispose();
            wake.Dispose();
        }
    }

    /// <summary>The loop: until the source ends for good, fails, or the session is disposed.</summary>
    internal void Run(CancellationToken cancellation)
    {
        while (!cancellation.IsCancellationRequested && Turn(cancellation) is { } rest)
        {
            if (rest != TimeSpan.Zero)
            {
                WaitHandle.WaitAny([wake, cancellation.WaitHandle], rest);
            }
        }
    }

    /// <summary>Reads the whole recording ahead on the calling thread, as <see cref="Start"/> has it done on another.</summary>
    internal void ReadAhead(CancellationToken cancellation) => jumps?.Survey.Run(cancellation);

    /// <summary>Once round: read, accept, advance, publish.</summary>
    /// <returns>How long nothing is to be done; null when nothing will be any more.</returns>
    internal TimeSpan? Turn(CancellationToken cancellation)
    {
        Jump(cancellation);
        string? failure = null;
        var state = SourceState.Ended;
        try
        {
            state = followed.Turn(cancellation);
        }
        catch (SourceException e)
        {
            failure = e.Message;
            followed.Monitor.Interruption = failure;
        }

        view.Look(followed, state);
        if (state == SourceState.Ended)
        {
            return End(failure);
        }

        if (!view.IsUpToDate && view.IsTime)
        {
            view.Publish(followed, hasEnded, failure);
        }

        return Rest(state);
    }

    // At the end of a recording in which one can jump there is nothing to do until somebody does.
    private TimeSpan? End(string? failure)
    {
        if (!hasEnded || !view.IsUpToDate)
        {
            hasEnded = true;
            followed.Monitor.Interruption ??= RecordingCut.Of(followed.Source);
            view.Publish(followed, hasEnded, failure ?? Current.Failure);
        }

        return jumps is null ? null : Timeout.InfiniteTimeSpan;
    }

    private void Ask(Action<ReplayJumps> wish)
    {
        if (jumps is not null)
        {
            wish(jumps);
            Wake();
        }
    }

    private void Jump(CancellationToken cancellation)
    {
        if (jumps is null || followed is not ReplayRun present)
        {
            return;
        }

        view.ShowWay();
        followed = jumps.Obey(present, hasEnded, cancellation);
        hasEnded = hasEnded && followed == present;
    }

    // A terminal that is taken away closes the session under the screen's hands.
    private void Wake()
    {
        lock (closing)
        {
            if (!isClosed)
            {
                wake.Set();
            }
        }
    }

    // A live source waits by itself; of a recording it is known when the next frame is due.
    private TimeSpan Rest(SourceState state)
    {
        if (state == SourceState.Frames || followed.UntilNext is not { } rest)
        {
            return TimeSpan.Zero;
        }

        var longest = view.IsUpToDate && rest == Timeout.InfiniteTimeSpan ? Timeout.InfiniteTimeSpan : SnapshotEvery;
        return rest == Timeout.InfiniteTimeSpan || rest > longest ? longest
            : rest < ShortestWait ? ShortestWait
            : rest;
    }

    private void RunOnThread() => Fault = OwnThread.Run(Run, stop.Token);
}
