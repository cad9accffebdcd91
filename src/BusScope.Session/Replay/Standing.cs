using BusScope.Frames;

namespace BusScope.Session.Replay;

/// <summary>How far one has come through a recording, frame by frame.</summary>
/// <param name="Frames">Frames passed.</param>
/// <param name="Stretch">How often the clock was set back on the way.</param>
/// <param name="First">The time of the first frame since the clock was set back.</param>
/// <param name="Latest">The latest time since the clock was set back.</param>
internal readonly record struct Standing(long Frames, int Stretch, FrameTime First, FrameTime Latest)
{
    /// <summary>Before the first frame.</summary>
    public static Standing Beginning => new(0, 0, FrameTime.Never, FrameTime.Never);

    /// <summary>The latest moment passed.</summary>
    public Moment Moment => new(Stretch, Latest);
}
