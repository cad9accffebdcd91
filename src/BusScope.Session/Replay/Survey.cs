using System.Runtime.ExceptionServices;
using BusScope.Frames;
using BusScope.Health;
using BusScope.Signals.Plans;

namespace BusScope.Session.Replay;

/// <summary>
/// Reads a recording once at full speed while it is replayed, with a reader and a monitor of its own, and keeps checkpoints on the way.
/// Runs on a thread of low priority; what it says is for any thread.
/// </summary>
/// <param name="open">Opens the recording afresh.</param>
/// <param name="plan">What its frames are held against.</param>
/// <param name="options">What is measured beside.</param>
/// <param name="time">Where the time of the room comes from.</param>
internal sealed class Survey(Func<IFrameSource> open, DefinitionPlan plan, MonitorOptions options, TimeProvider time) : IDisposable
{
    // A look for events costs about as much as so many frames.
    private const long FramesOfALook = 1_000;
    private const long ShortestInterval = 20_000;

    // What a copy of a car's state takes fits this often into the room that checkpoints have.
    private const int Aimed = 64;
    private static readonly TimeSpan ToldEvery = TimeSpan.FromMilliseconds(100);

    private readonly CancellationTokenSource stop = new();
    private readonly List<RecordedStretch> stretches = [];
    private readonly CheckpointList kept = new(new Checkpoint(null, new Lookout(new HealthMonitor(plan, options), new EventLog(), new Passage())));
    private Thread? thread;
    private RecordingSurvey current = new();
    private long toldAt;

    /// <summary>What is known by now.</summary>
    public RecordingSurvey Current => Volatile.Read(ref current);

    /// <summary>The checkpoints so far; any thread.</summary>
    public CheckpointList Checkpoints => kept;

    /// <summary>A fault of our own, to be thrown where the program ends; or null.</summary>
    public ExceptionDispatchInfo? Fault { get; private set; }

    /// <summary>Raised on the survey's thread when more is known.</summary>
    public event Action? Told;

    /// <summary>Starts reading on a thread of its own.</summary>
    public void Start()
    {
        thread = new Thread(RunOnThread) { Name = "survey", IsBackground = true, Priority = ThreadPriority.BelowNormal };
        thread.Start();
    }

    /// <summary>Reads the recording on the calling thread.</summary>
    public void Run(CancellationToken cancellation)
    {
        ReplayRun? run = null;
        string? failure = null;
        try
        {
            run = new ReplayRun(open(), new HealthMonitor(plan, options), new ReplayPace(time, ReplayPace.AsFastAsPossible));
            Read(run, cancellation);
        }
        catch (SourceException e)
        {
            failure = e.Message;
        }

        using (run)
        {
            Tell(run is null ? new RecordingSurvey { IsOver = true, Failure = failure } : Whole(run, failure));
        }
    }

    /// <summary>Ends the reading and waits for that.</summary>
    public void Dispose()
    {
        stop.Cancel();
        thread?.Join();
        stop.Dispose();
    }

    private void Read(ReplayRun run, CancellationToken cancellation)
    {
        var (interval, doneAt) = (ShortestInterval, 0L);
        while (run.Turn(cancellation) != SourceState.Ended)
        {
            cancellation.ThrowIfCancellationRequested();
            Follow(run);
            var done = run.Standing.Frames + (run.Looks * FramesOfALook);
            if (done - doneAt >= interval)
            {
                // As soon as it can be told how much there is, no more copies are made than will be kept.
                interval = doneAt == 0 && run.Source.Progress is > 0 and var share ? Math.Max(interval, (long)(done / share / Aimed)) : interval;
                var before = GC.GetAllocatedBytesForCurrentThread();
                if (run.Checkpoint() is { } checkpoint)
                {
                    doneAt = done;
                    interval <<= kept.Add(checkpoint, GC.GetAllocatedBytesForCurrentThread() - before);
                }
            }

            if (time.GetElapsedTime(toldAt) >= ToldEvery)
            {
                Tell(Now(run));
            }
        }
    }

    private void Follow(ReplayRun run)
    {
        var standing = run.Standing;
        if (!standing.Latest.IsKnown)
        {
            return;
        }

        if (standing.Stretch == stretches.Count)
        {
            stretches.Add(new RecordedStretch(standing.First, standing.Latest));
        }

        if (standing.Latest != stretches[^1].Last)
        {
            stretches[^1] = stretches[^1] with { Last = standing.Latest };
        }
    }

    // Up to its end, or up to where it failed.
    private RecordingSurvey Whole(ReplayRun run, string? failure)
    {
        run.Monitor.Interruption = failure;
        var findings = run.Report(isFinal: true).Findings;
        return Now(run) with { IsOver = true, Progress = failure is null ? 1 : run.Source.Progress, Findings = findings, Failure = failure };
    }

    private RecordingSurvey Now(ReplayRun run) => new()
    {
        Progress = run.Source.Progress,
        Stretches = [.. stretches],
        Events = run.Events.Latest(),
    };

    private void Tell(RecordingSurvey survey)
    {
        toldAt = time.GetTimestamp();
        Volatile.Write(ref current, survey);
        Told?.Invoke();
    }

    private void RunOnThread()
    {
        Fault = OwnThread.Run(Run, stop.Token);
        if (Fault is not null)
        {
            Told?.Invoke();
        }
    }
}
