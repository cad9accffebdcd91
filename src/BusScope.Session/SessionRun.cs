using BusScope.Frames;
using BusScope.Health;

namespace BusScope.Session;

/// <summary>Why a run came to its end.</summary>
public enum RunEnd
{
    /// <summary>The source had no more frames.</summary>
    SourceEnded,

    /// <summary>The time asked for was over.</summary>
    TimeOver,

    /// <summary>The source failed; what was readable has been taken in.</summary>
    SourceFailed,

    /// <summary>The answer was clear before the time was over, and nothing that could still come would change it.</summary>
    AnswerClear,

    /// <summary>Somebody broke it off; what came until then has been taken in.</summary>
    Cancelled,
}

/// <summary>What a run found.</summary>
/// <param name="Health">The final report.</param>
/// <param name="End">Why it ended.</param>
/// <param name="Failure">Why the source failed, or null.</param>
public sealed record RunResult(HealthReport Health, RunEnd End, string? Failure);

/// <summary>What a run may be told beside.</summary>
public sealed record RunOptions
{
    /// <summary>Stop after this much time on the bus, or null for the whole source.</summary>
    public FrameSpan? Length { get; init; }

    /// <summary>What ends the run as soon as the answer is clear, or null for the whole length.</summary>
    public ClearAnswer? Clear { get; init; }

    /// <summary>Where a live source's time comes from while no frame does.</summary>
    public TimeProvider Time { get; init; } = TimeProvider.System;
}

/// <summary>One source from its first frame to its end, without waiting and without a screen: what the commands run.</summary>
public static class SessionRun
{
    /// <summary>Takes the source in to its end, on the calling thread. A recording that is taken whole is read ahead by a second one.</summary>
    /// <param name="source">The source; not disposed here.</param>
    /// <param name="monitor">What takes the frames in.</param>
    /// <param name="progress">Told how far the source has come, now and then; or null.</param>
    /// <param name="cancellation">Breaks the run off.</param>
    /// <param name="options">Length and time, or null for the whole source.</param>
    public static RunResult ToEnd(IFrameSource source, HealthMonitor monitor, IProgress<double>? progress, CancellationToken cancellation, RunOptions? options = null)
    {
        ArgumentNullException.ThrowIfNull(source);
        ArgumentNullException.ThrowIfNull(monitor);
        options ??= new RunOptions();
        var clock = source.Clock == SourceClock.Recorded ? null : new LiveClock(options.Time, source.Clock);
        var end = RunEnd.Cancelled;
        string? failure = null;
        try
        {
            end = clock is null && options is { Length: null, Clear: null }
                ? WholeRecording(source, monitor, progress, cancellation)
                : AsLongAsAsked(source, monitor, clock, progress, options, cancellation);
        }
        catch (SourceException e)
        {
            (end, failure) = (RunEnd.SourceFailed, e.Message);
            monitor.Interruption = failure;
        }
        catch (OperationCanceledException) when (cancellation.IsCancellationRequested)
        {
            end = RunEnd.Cancelled;
        }

        LiveTurn.TellLost(source, monitor);
        monitor.Interruption ??= RecordingCut.Of(source);
        if (clock is not null && RecordingCut.IsInside(source))
        {
            monitor.TakeBack();
        }

        return new RunResult(monitor.Report(isFinal: true), end, failure);
    }

    // What was read ahead is always taken in, so that the source's own account of itself is of the same frames.
    private static RunEnd WholeRecording(IFrameSource source, HealthMonitor monitor, IProgress<double>? progress, CancellationToken cancellation)
    {
        using var ahead = new ReadAhead(source, cancellation);
        var batch = new FrameBatch();
        for (var turn = 0; ahead.Take(batch) != SourceState.Ended; turn++)
        {
            monitor.Accept(batch, ahead.Buses);
            Tell(progress, turn, ahead.Progress);
        }

        return RunEnd.SourceEnded;
    }

    private static RunEnd AsLongAsAsked(IFrameSource source, HealthMonitor monitor, LiveClock? clock, IProgress<double>? progress, RunOptions options, CancellationToken cancellation)
    {
        var batch = new FrameBatch();
        var limit = new RunLimit(options.Length, source.Clock, options.Time);
        for (var turn = 0; !cancellation.IsCancellationRequested; turn++)
        {
            if (source.Read(batch, cancellation) == SourceState.Ended)
            {
                return RunEnd.SourceEnded;
            }

            var isCut = limit.Cut(batch);
            var isSeen = LiveTurn.Accept(source, monitor, clock, batch);
            if (isCut || limit.IsOver(clock?.Now))
            {
                return RunEnd.TimeOver;
            }

            if (options.Clear?.IsReached(monitor, limit.Passed, isSeen && RecordingCut.Of(source) is null) == true)
            {
                return RunEnd.AnswerClear;
            }

            Tell(progress, turn, source.Progress);
        }

        return RunEnd.Cancelled;
    }

    private static void Tell(IProgress<double>? progress, int turn, double? done)
    {
        if (turn % 64 == 0 && done is { } known)
        {
            progress?.Report(known);
        }
    }
}
