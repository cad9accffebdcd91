using BusScope.Frames;

namespace BusScope.Session.Replay;

/// <summary>How far one has come through a recording, frame by frame.</summary>
/// <param name="Frames">Frames passed.</param>
/// <param name="Stretch">How often the clock was set back on the way.</param>
/// <param name="First">The time of the first frame since the clock was set back.</param>
/// <param name="Last">The time of the frame passed last.</param>
/// <param name="Latest">The latest time since the clock was set back.</param>
internal readonly record struct Standing(long Frames, int Stretch, FrameTime First, FrameTime Last, FrameTime Latest)
{
    // Buses may be this far out of order; what steps back further is a clock that was set.
    private static readonly FrameSpan LargestStepBack = FrameSpan.FromSeconds(1);

    /// <summary>Before the first frame.</summary>
    public static Standing Beginning => new(0, 0, FrameTime.Never, FrameTime.Never, FrameTime.Never);

    /// <summary>The latest moment passed.</summary>
    public Moment Moment => new(Stretch, Latest);

    /// <summary>Whether the clock was set back before a frame of this time, if it is the next.</summary>
    public bool IsSetBack(FrameTime next) => Last.IsKnown && next < Last - LargestStepBack;

    /// <summary>The moment of a frame of this time, if it is the next.</summary>
    public Moment MomentOf(FrameTime next) => new(IsSetBack(next) ? Stretch + 1 : Stretch, next);

    /// <summary>Where one stands once a frame of this time has passed.</summary>
    public Standing After(FrameTime time) => IsSetBack(time)
        ? new(Frames + 1, Stretch + 1, time, time, time)
        : new(Frames + 1, Stretch, First.IsKnown ? First : time, time, time > Latest ? time : Latest);
}
