using BusScope.Frames;
using BusScope.Transport.Recording;

namespace BusScope.Session.Recording;

/// <summary>How a recording came to its end.</summary>
/// <param name="End">Why.</param>
/// <param name="Recording">How the recording stands; its failure is told there.</param>
/// <param name="SourceFailure">Why the source failed, or null.</param>
public sealed record RecordingResult(RunEnd End, RecordingStatus Recording, string? SourceFailure);

/// <summary>One recording from its first frame to its end, without a screen.</summary>
public static class RecordingRun
{
    /// <summary>Reads on the calling thread until the source ends, the time is over, the recording fails, or somebody stops it.</summary>
    /// <param name="source">The recorded source; completed, but not disposed here.</param>
    /// <param name="recorder">Its recorder.</param>
    /// <param name="length">How much time on the bus is recorded, or null; where it waits for a trigger, from there on. The recorder cuts to the frame.</param>
    /// <param name="time">Where live time comes from.</param>
    /// <param name="watch">Called after each turn.</param>
    /// <param name="cancellation">Stops the recording.</param>
    public static RecordingResult ToEnd(RecordedSource source, Recorder recorder, FrameSpan? length, TimeProvider time, Action watch, CancellationToken cancellation)
    {
        ArgumentNullException.ThrowIfNull(source);
        ArgumentNullException.ThrowIfNull(recorder);
        ArgumentNullException.ThrowIfNull(watch);
        var batch = new FrameBatch();
        var clock = source.Clock == SourceClock.Recorded ? null : new LiveClock(time, source.Clock);
        RunLimit? limit = null;
        var end = RunEnd.Cancelled;
        string? failure = null;
        try
        {
            while (!cancellation.IsCancellationRequested && recorder.Status.Failure is null)
            {
                if (source.Read(batch, cancellation) == SourceState.Ended)
                {
                    end = RunEnd.SourceEnded;
                    break;
                }

                clock?.Saw(batch);
                // Frames that come are cut by the recording itself; here it ends also where none comes any more.
                var status = recorder.Status;
                limit ??= status.IsWaiting ? null : new RunLimit(length, source.Clock, time);
                _ = limit?.Cut(batch);
                if (status.IsOver || limit?.IsOver(clock?.Now) == true)
                {
                    end = RunEnd.TimeOver;
                    break;
                }

                watch();
            }
        }
        catch (SourceException e)
        {
            (end, failure) = (RunEnd.SourceFailed, e.Message);
        }
        catch (OperationCanceledException) when (cancellation.IsCancellationRequested)
        {
            end = RunEnd.Cancelled;
        }

        return new RecordingResult(end, source.Complete(takesRest: end == RunEnd.Cancelled), failure);
    }
}
