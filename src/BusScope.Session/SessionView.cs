using BusScope.Frames;
using BusScope.Health;
using BusScope.Session.Readings;
using BusScope.Session.Recording;
using BusScope.Session.Replay;
using BusScope.Signals.Plans;

namespace BusScope.Session;

/// <summary>
/// What a person sees of a session: when the next snapshot is due, and what is in it. Used by the session's thread, but for what says otherwise.
/// </summary>
internal sealed class SessionView
{
    // A bus that speaks without a pause has frames in its first milliseconds after each snapshot, and is never shown before its time.
    private static readonly TimeSpan SoonestAfterPause = MonitorSession.SnapshotEvery / 2;

    private readonly TimeProvider time;
    private readonly RecordedSource? recorded;
    private readonly SnapshotBoard board;
    private long publishedAt;

    // Whether frames came since the latest snapshot, and whether they came in this turn only.
    private bool hasFrames;
    private bool isFirst;
    private Shown? shown;

    // Written by the screen's thread, read by the session's.
    private Wanted requests = new([], null, null);
    private Wanted answered = new([], null, null);

    /// <summary>A session of which nothing was seen yet.</summary>
    /// <param name="first">What it follows at first.</param>
    /// <param name="recorded">Its source, where it is recorded at the same time; else null.</param>
    /// <param name="time">Where the time of the room comes from.</param>
    public SessionView(IFollowed first, RecordedSource? recorded, TimeProvider time)
    {
        (this.time, this.recorded) = (time, recorded);
        board = new SnapshotBoard(Snapshot(first, first.Monitor.Report(isFinal: false), hasEnded: false, failure: null));
    }

    /// <summary>How recorded time passes; null for a live source.</summary>
    public ReplayPace? Pace { get; init; }

    /// <summary>Where one goes in a recording; null where one cannot.</summary>
    public ReplayJumps? Jumps { get; init; }

    /// <summary>The latest snapshot. Any thread.</summary>
    public SessionSnapshot Current => board.Current;

    /// <summary>Whether all that is known stands in the latest snapshot.</summary>
    public bool IsUpToDate { get; private set; }

    /// <summary>Whether the latest snapshot is old enough for another one: what comes after a pause is shown sooner.</summary>
    public bool IsTime => time.GetElapsedTime(publishedAt) >= (isFirst ? SoonestAfterPause : MonitorSession.SnapshotEvery);

    /// <summary>Sets a mark at the moment that is shown. Any thread.</summary>
    public void Mark(string note) => board.Mark(note);

    /// <summary>Has the readings of signals, and of one message, in each snapshot from the next one on. The screen's thread.</summary>
    public void Follow(IReadOnlyList<ReadingRequest> wanted, MessageRequest? message) =>
        Volatile.Write(ref requests, requests with { Signals = wanted, Message = message });

    /// <summary>Has signals read that were defined meanwhile. The screen's thread.</summary>
    public void Widen(DefinitionPlan plan) => Volatile.Write(ref requests, requests with { Plan = plan });

    /// <summary>Shows that the replay is going somewhere, before it sets out: what is compressed is read for seconds from its beginning.</summary>
    public void ShowWay()
    {
        if (Jumps?.Wanted is { } moment && moment != Current.GoingTo)
        {
            board.GoesTo(moment);
            shown = null;
        }
    }

    /// <summary>Looks whether anything differs from the latest snapshot by now. A replay that stands still has nothing new to show; otherwise each turn brings frames or at least time.</summary>
    /// <param name="followed">What the session follows.</param>
    /// <param name="state">What its source gave in this turn.</param>
    public void Look(IFollowed followed, SourceState state)
    {
        isFirst = state == SourceState.Frames && !hasFrames;
        hasFrames |= isFirst;
        IsUpToDate = IsUpToDate && state != SourceState.Frames && Now(followed, state == SourceState.Ended) == shown && ReferenceEquals(answered, Volatile.Read(ref requests));
    }

    /// <summary>Puts a snapshot of this moment where the screen finds it.</summary>
    /// <param name="followed">What the session follows.</param>
    /// <param name="hasEnded">Whether no frame will come any more.</param>
    /// <param name="failure">Why the source failed, or null.</param>
    public void Publish(IFollowed followed, bool hasEnded, string? failure)
    {
        answered = Volatile.Read(ref requests);
        if (answered.Plan is { } wider)
        {
            followed.Signals?.Widen(wider);
        }

        (shown, IsUpToDate) = (Now(followed, hasEnded), true);
        var report = followed.Report(hasEnded);
        board.Put(Snapshot(followed, report, hasEnded, failure), followed.Events.Latest());
        (publishedAt, hasFrames, isFirst) = (time.GetTimestamp(), false, false);
    }

    private Shown Now(IFollowed followed, bool hasEnded) =>
        new(followed, hasEnded, followed.Now, Pace?.IsPaused, Pace?.Speed, Jumps?.Survey.Current, Jumps?.Loop, Jumps?.Wanted, Jumps?.Failure);

    private SessionSnapshot Snapshot(IFollowed followed, HealthReport report, bool hasEnded, string? failure) => new(report, followed.Monitor.Plan)
    {
        Failure = failure,
        HasEnded = hasEnded,
        Widened = answered.Plan,
        Source = followed.Source.Name,
        Progress = followed is LiveRun ? null : followed.Source.Progress,
        IsPaused = Pace?.IsPaused ?? false,
        Speed = Pace?.Speed,
        Buses = [.. followed.Source.Buses],
        IsRecorded = recorded is { IsRecording: true },
        Controllers = [.. Enumerable.Range(0, followed.Source.Buses.Count).Select(followed.Source.StatusOf)],
        Problems = ProblemCopies.Of([followed.Source.Problems]).All,
        Survey = Jumps?.Survey.Current,
        Loop = Jumps?.Loop,
        GoingTo = Jumps?.Wanted,
        JumpFailure = Jumps?.Failure,
        Readings = followed.Signals?.Readings(answered.Signals, followed.Now) ?? [],
        Message = Reading(followed, answered.Message),
    };

    private static MessageReading? Reading(IFollowed followed, MessageRequest? request)
    {
        var range = followed.Signals?.Field.Follow(request);
        return request is null ? null : new MessageReading(request, followed.Monitor.Gaps(request.Bus, request.Id), range);
    }

    /// <summary>What the screen wants to know beside the health.</summary>
    private sealed record Wanted(IReadOnlyList<ReadingRequest> Signals, MessageRequest? Message, DefinitionPlan? Plan);

    /// <summary>All that makes one snapshot differ from the next while no frame comes.</summary>
    private sealed record Shown(
        IFollowed Followed,
        bool HasEnded,
        FrameTime? Now,
        bool? IsPaused,
        double? Speed,
        RecordingSurvey? Survey,
        ReplayLoop? Loop,
        FrameTime? GoingTo,
        string? JumpFailure);
}
