using BusScope.Frames;

namespace BusScope.Session;

/// <summary>
/// What time it is on a live bus, so that silence is noticed. While frames come it is the time of the latest; while none comes it is
/// our own clock, or, where another clock stamps the frames, that clock carried on by ours from where the two were first seen
/// together. So what waits to be read is never called late, and a stored capture that comes through a pipe with stops does not
/// look like a bus with silences.
/// </summary>
/// <param name="time">Where our own time comes from.</param>
/// <param name="stamps">Whose clock stamps the frames.</param>
internal sealed class LiveClock(TimeProvider time, SourceClock stamps)
{
    // Two clocks drift apart by a millisecond at most in this time, and some frame in it comes without delay.
    private static readonly TimeSpan Window = TimeSpan.FromSeconds(10);

    // A stamp this far behind the latest one says that a clock was set.
    private static readonly FrameSpan LargestStepBack = FrameSpan.FromSeconds(1);

    // More than a clock is slewed by between two looks at it.
    private static readonly FrameSpan LargestLeap = FrameSpan.FromMilliseconds(200);

    private FrameTime latest = FrameTime.Never;
    private FrameTime anchor = FrameTime.Never;
    private FrameSpan leastLag = new(long.MaxValue);
    private long anchoredAt;
    private long windowFrom;
    private bool isIdle = true;
    private long? apart;

    /// <summary>The time on the bus, or null while nothing says it.</summary>
    public FrameTime? Now =>
        !isIdle ? latest
        : stamps == SourceClock.Ours ? NotBefore(OurNow)
        : anchor.IsKnown ? NotBefore(Carried)
        : null;

    /// <summary>
    /// Whether our own clock, which stamps the frames, was set forward since this was asked last: the time that it leapt over was not
    /// spent waiting for anybody.
    /// </summary>
    public bool LeaptForward()
    {
        if (stamps != SourceClock.Ours)
        {
            return false;
        }

        var now = OurNow.Nanoseconds - (time.GetElapsedTime(0).Ticks * 100);
        var leap = now - (apart ?? now);
        apart = now;
        return leap > LargestLeap.Nanoseconds;
    }

    /// <summary>Takes note of what came just now: frames, or an empty batch.</summary>
    public void Saw(FrameBatch batch)
    {
        isIdle = batch.Count == 0;
        if (isIdle)
        {
            return;
        }

        var last = batch.Frames[^1].Time;
        if (!anchor.IsKnown || last < latest - LargestStepBack)
        {
            (anchor, latest, anchoredAt) = (last, last, time.GetTimestamp());
            OpenWindow();
        }

        foreach (ref readonly var frame in batch.Frames)
        {
            latest = frame.Time > latest ? frame.Time : latest;
        }

        var lag = Carried - latest;
        leastLag = lag < leastLag ? lag : leastLag;
        if (time.GetElapsedTime(windowFrom) >= Window)
        {
            // Only a clock that is slower than ours lags behind all the time.
            anchor = leastLag > FrameSpan.Zero ? new FrameTime(anchor.Nanoseconds - leastLag.Nanoseconds) : anchor;
            OpenWindow();
        }
    }

    private FrameTime OurNow => new((time.GetUtcNow() - DateTimeOffset.UnixEpoch).Ticks * 100);

    private FrameTime Carried => anchor + new FrameSpan(time.GetElapsedTime(anchoredAt).Ticks * 100);

    // A clock of ours that was set back is no reason to go back before a frame that came.
    private FrameTime NotBefore(FrameTime now) => latest > now ? latest : now;

    private void OpenWindow() => (windowFrom, leastLag) = (time.GetTimestamp(), new FrameSpan(long.MaxValue));
}
