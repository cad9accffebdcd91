using BusScope.Frames;

namespace BusScope.Session;

/// <summary>
/// What time it is on a live bus: the latest frame's time and what has passed here since it came. So a machine whose clock
/// differs from ours may stamp the frames, and silence is noticed all the same.
/// </summary>
/// <param name="time">Where our own time comes from.</param>
/// <param name="stampsAreOurs">Whether frames are stamped by this machine's clock, so that time is known before the first of them.</param>
internal sealed class LiveClock(TimeProvider time, bool stampsAreOurs)
{
    private FrameTime latest = FrameTime.Never;
    private long latestAt;

    /// <summary>The time on the bus, or null while nothing says it.</summary>
    public FrameTime? Now =>
        latest.IsKnown ? latest + new FrameSpan(time.GetElapsedTime(latestAt).Ticks * 100)
        : stampsAreOurs ? new FrameTime((time.GetUtcNow() - DateTimeOffset.UnixEpoch).Ticks * 100)
        : null;

    /// <summary>Takes note of frames that came just now.</summary>
    public void Saw(FrameBatch batch)
    {
        foreach (ref readonly var frame in batch.Frames)
        {
            if (frame.Time > latest)
            {
                latest = frame.Time;
            }
        }

        latestAt = time.GetTimestamp();
    }
}
