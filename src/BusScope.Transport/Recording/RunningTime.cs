using BusScope.Frames;

namespace BusScope.Transport.Recording;

/// <summary>
/// Time that only goes on, out of the times of frames: buses may be slightly out of order, and a clock that is set back, or far
/// ahead, does not carry it along.
/// </summary>
internal sealed class RunningTime
{
    // What steps back further than buses are ever out of order is a clock that was set; so is what leaps an hour ahead.
    private static readonly FrameSpan LargestStepBack = FrameSpan.FromSeconds(1);
    private static readonly FrameSpan LargestLeap = FrameSpan.FromSeconds(3600);

    private FrameTime latest = FrameTime.Never;
    private long passed;

    /// <summary>Nanoseconds that had passed at a frame since the first one; of a frame that is late, since it should have come.</summary>
    public long At(FrameTime time)
    {
        if (!latest.IsKnown || time < latest - LargestStepBack || time > latest + LargestLeap)
        {
            latest = time;
        }

        var step = time.Nanoseconds - latest.Nanoseconds;
        if (step <= 0)
        {
            return passed + step;
        }

        latest = time;
        return passed += step;
    }
}
