using BusScope.Frames;

namespace BusScope.Session.Replay;

/// <summary>How far a recording is to be read: before the first frame that is later than a moment, or so many frames.</summary>
/// <param name="Until">The moment.</param>
/// <param name="Frames">Frames from the beginning.</param>
internal readonly record struct Goal(Moment Until, long Frames)
{
    /// <summary>Up to a moment, and with it.</summary>
    public static Goal At(Moment moment) => new(moment, long.MaxValue);

    /// <summary>So many frames, from the beginning.</summary>
    public static Goal After(long frames) => new(Moment.End, frames);

    /// <summary>Whether this is not behind where one stands already.</summary>
    public bool IsAhead(Standing at) => at.Frames <= Frames && at.Moment.CompareTo(Until) <= 0;

    /// <summary>Whether this frame is still to be read, if it is the next.</summary>
    public bool Takes(Passage passage, in Frame next) => passage.Standing.Frames < Frames && passage.MomentOf(next).CompareTo(Until) <= 0;
}
