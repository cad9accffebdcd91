using System.Runtime.ExceptionServices;
using BusScope.Frames;
using BusScope.Health;
using BusScope.Session.Readings;
using BusScope.Session.Recording;

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

    private readonly IFrameSource source;
    private readonly HealthMonitor monitor;
    private readonly TimeProvider time;
    private readonly LiveClock? live;
    private readonly FrameBatch batch = new();
    private readonly EventLog events = new();
    private readonly SignalWatch signals;

    // Held while events are added and a snapshot is put in the place of another: marks come from the screen's thread.
    private readonly Lock gate = new();
    private readonly RecordedSource? recorded;
    private readonly CancellationTokenSource stop = new();
    private readonly AutoResetEvent wake = new(false);
    private readonly Lock closing = new();
    private bool isClosed;
    private Thread? thread;
    private long publishedAt;
    private (FrameTime? Now, bool? IsPaused, double? Speed) shown;
    private bool isShown;

    // Written by the screen's thread, read by the session's.
    private IReadOnlyList<ReadingRequest> requests = [];
    private IReadOnlyList<ReadingRequest> answered = [];
    private SessionSnapshot current;

    /// <summary>A session over a recording, held to its recorded time.</summary>
    /// <param name="recording">The source; disposed with the session.</param>
    /// <param name="monitor">What takes the frames in; nobody else may use it.</param>
    /// <param name="pace">How recorded time passes.</param>
    /// <param name="time">Where the time of the room comes from.</param>
    public MonitorSession(IFrameSource recording, HealthMonitor monitor, ReplayPace pace, TimeProvider time)
        : this(new PacedSource(recording, pace), monitor, time)
    {
        recorded = recording as RecordedSource;
        Pace = pace;
        pace.Turned += Wake;
    }

    /// <summary>A session over a live source.</summary>
    /// <param name="source">The source; disposed with the session.</param>
    /// <param name="monitor">What takes the frames in; nobody else may use it.</param>
    /// <param name="time">Where the time of the room comes from.</param>
    public MonitorSession(IFrameSource source, HealthMonitor monitor, TimeProvider time)
    {
        this.source = source;
        recorded = source as RecordedSource;
        this.monitor = monitor;
        this.time = time;
        signals = new SignalWatch(monitor.Plan);
        live = source is PacedSource ? null : new LiveClock(time, source.Clock);
        current = Snapshot(monitor.Report(isFinal: false), 0);
    }

    /// <inheritdoc/>
    public ReplayPace? Pace { get; }

    /// <inheritdoc/>
    public SessionSnapshot Current => Volatile.Read(ref current);

    /// <summary>A fault of our own that ended the loop, to be thrown again where the program ends; or null.</summary>
    public ExceptionDispatchInfo? Fault { get; private set; }

    /// <summary>Starts the loop on its own thread.</summary>
    public void Start()
    {
        thread = new Thread(RunOnThread) { Name = "session", IsBackground = true };
        thread.Start();
    }

    /// <summary>Sets a mark at the moment that is shown: among the events, and in the recording where there is one.</summary>
    /// <inheritdoc/>
    public bool Mark(string note)
    {
        ArgumentNullException.ThrowIfNull(note);
        lock (gate)
        {
            events.Mark(current.Health.Now ?? FrameTime.Never, note);
            Volatile.Write(ref current, current with { Number = current.Number + 1, Events = events.Latest() });
        }

        if (recorded is not { IsRecording: true })
        {
            return false;
        }

        recorded.Mark(note);
        return true;
    }

    /// <inheritdoc/>
    public void Follow(IReadOnlyList<ReadingRequest> wanted)
    {
        ArgumentNullException.ThrowIfNull(wanted);
        Volatile.Write(ref requests, wanted);
        Wake();
    }

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
            thread?.Join();
            if (Pace is not null)
            {
                Pace.Turned -= Wake;
            }

            source.Dispose();
            stop.Dispose();
            wake.Dispose();
        }
    }

    /// <summary>The loop: until the source ends, fails, or the session is disposed.</summary>
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

    /// <summary>Once round: read, accept, advance, publish.</summary>
    /// <returns>How long nothing is to be done; null when nothing will be any more.</returns>
    internal TimeSpan? Turn(CancellationToken cancellation)
    {
        string? failure = null;
        var state = SourceState.Ended;
        try
        {
            state = source.Read(batch, cancellation);
        }
        catch (SourceException e)
        {
            failure = e.Message;
            monitor.Interruption = failure;
        }

        _ = LiveTurn.Accept(source, monitor, live, batch);
        signals.Accept(batch, source.Buses);
        if (live is null && Now is { } now)
        {
            monitor.Advance(now);
        }

        // A replay that stands still has nothing new to show; otherwise each turn brings frames or at least time.
        var seen = (Now, Pace?.IsPaused, Pace?.Speed);
        isShown = isShown && state == SourceState.Idle && seen == shown && ReferenceEquals(answered, Volatile.Read(ref requests));
        shown = seen;
        if (state == SourceState.Ended)
        {
            monitor.Interruption ??= RecordingCut.Of(source);
            Publish(isFinal: true, failure);
            return null;
        }

        if (!isShown && time.GetElapsedTime(publishedAt) >= SnapshotEvery)
        {
            Publish(isFinal: false, failure);
        }

        return Rest(state);
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

    private FrameTime? Now => live is null ? (source as PacedSource)?.Now : live.Now;

    // A live source waits by itself; of a recording it is known when the next frame is due.
    private TimeSpan Rest(SourceState state)
    {
        if (state == SourceState.Frames || source is not PacedSource paced)
        {
            return TimeSpan.Zero;
        }

        var rest = paced.UntilNext;
        var longest = isShown && rest == Timeout.InfiniteTimeSpan ? Timeout.InfiniteTimeSpan : SnapshotEvery;
        return rest == Timeout.InfiniteTimeSpan || rest > longest ? longest
            : rest < ShortestWait ? ShortestWait
            : rest;
    }

    private void Publish(bool isFinal, string? failure)
    {
        LiveTurn.TellLost(source, monitor);
        answered = Volatile.Read(ref requests);
        var report = monitor.Report(isFinal);
        lock (gate)
        {
            events.Compare(report);
            events.Compare(source);
            Volatile.Write(ref current, Snapshot(report, current.Number + 1) with
            {
                Failure = failure,
                HasEnded = isFinal,
            });
        }

        publishedAt = time.GetTimestamp();
        isShown = true;
    }

    private SessionSnapshot Snapshot(HealthReport report, long number) => new(report, monitor.Plan)
    {
        Number = number,
        Source = source.Name,
        Progress = live is null ? source.Progress : null,
        IsPaused = Pace?.IsPaused ?? false,
        Speed = Pace?.Speed,
        Buses = [.. source.Buses],
        IsRecorded = recorded is { IsRecording: true },
        Controllers = [.. Enumerable.Range(0, source.Buses.Count).Select(source.StatusOf)],
        Problems = ProblemCopies.Of([source.Problems]).All,
        Events = events.Latest(),
        Readings = signals.Readings(answered, Now),
    };

    private void RunOnThread()
    {
        try
        {
            Run(stop.Token);
        }
        catch (OperationCanceledException) when (stop.IsCancellationRequested)
        {
            // Disposed while a live source waited.
        }
#pragma warning disable CA1031 // Whatever it is: the screen must give the terminal back first, and throws it again.
        catch (Exception e)
#pragma warning restore CA1031
        {
            Fault = ExceptionDispatchInfo.Capture(e);
        }
    }
}
