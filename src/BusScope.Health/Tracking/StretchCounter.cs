using BusScope.Signals.Plans;

namespace BusScope.Health.Tracking;

/// <summary>
/// The densest stretch of wrong frames: a burst of fifty in a row is no better for lying within ten million good ones. A
/// stretch is some 512 frames in succession, as many as are worked through together.
/// </summary>
internal sealed class StretchCounter
{
    private long wrong;
    private long frames;

    /// <summary>The most wrong frames in one stretch.</summary>
    public long Worst { get; private set; }

    /// <summary>The same count, which goes on by itself.</summary>
    public StretchCounter Copy() => (StretchCounter)MemberwiseClone();

    /// <summary>Counts frames that came together.</summary>
    /// <param name="wrongFrames">How many of them were wrong.</param>
    /// <param name="allFrames">How many there were.</param>
    public void Add(long wrongFrames, long allFrames)
    {
        wrong += wrongFrames;
        frames += allFrames;
        Worst = Math.Max(Worst, wrong);
        if (frames >= MessageBlock.Capacity)
        {
            (wrong, frames) = (0, 0);
        }
    }
}
