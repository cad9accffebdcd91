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
    /// <summary>Reads the source to its end on the calling thread.</summary>
    /// <param name="source">The source; not disposed here.</param>
    /// <param name="monitor">What takes the frames in.</param>
    /// <param name="progress">Told how far the source has come, now and then; or null.</param>
    /// <param name="cancellation">Breaks the run off.</param>
    /// <param name="options">Length and time, or null for the whole source.</param>
    public static RunResult ToEnd(IFrameSource source, HealthMonitor monitor, IProgress<double>? progress, CancellationToken cancellation, RunOptions? options = null)
    {
        ArgumentNullException.ThrowIfNull(source);
        ArgumentNullException.ThrowIfNull(monitor);
        var batch = new FrameBatch();
        options ??= new RunOptions();
        var clock = source.Clock == SourceClock.Recorded ? null : new LiveClock(options.Time, source.Clock);
        var limit = new RunLimit(options.Length, source.Clock, options.Time);
        var end = RunEnd.Cancelled;
        string? failure = null;
        try
        {
            for (var turn = 0; !cancellation.IsCancellationRequested; turn++)
            {
                var state = source.Read(batch, cancellation);
                if (state == SourceState.Ended)
                {
                    end = RunEnd.SourceEnded;
                    break;
                }

                var isCut = limit.Cut(batch);
                var isSeen = LiveTurn.Accept(source, monitor, clock, batch);
                if (isCut || limit.IsOver(clock?.Now))
                {
                    end = RunEnd.TimeOver;
                    break;
                }

                if (options.Clear?.IsReached(monitor, limit.Passed, isSeen && RecordingCut.Of(source) is null) == true)
                {
                    end = RunEnd.AnswerClear;
                    break;
                }

                if (progress is not null && turn % 64 == 0 && source.Progress is { } done)
                {
                    progress.Report(done);
                }
            }
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
}
