using BusScope.Frames;

namespace BusScope.Health.Expectations;

/// <summary>When a condition held, in bounded memory: beyond <see cref="Most"/> stretches the last one is made longer.</summary>
internal sealed class HeldTimes
{
    /// <summary>The most stretches.</summary>
    public const int Most = 512;

    private List<(FrameTime From, FrameTime Until)> ended = [];
    private FrameTime since = FrameTime.Never;

    /// <summary>From this moment on it holds, or no longer does.</summary>
    public void Turn(bool holds, FrameTime at)
    {
        if (holds)
        {
            since = at;
        }
        else if (since.IsKnown)
        {
            End(at);
            since = FrameTime.Never;
        }
    }

    /// <summary>The stretches up to a moment, in order.</summary>
    public IReadOnlyList<HeldTime> Until(FrameTime now)
    {
        var all = ended.ConvertAll(stretch => new HeldTime(stretch.From, stretch.Until));
        if (since.IsKnown && now > since)
        {
            all.Add(new HeldTime(since, now));
        }

        return all;
    }

    /// <summary>The same times, which go on by themselves.</summary>
    public HeldTimes Copy()
    {
        var copy = (HeldTimes)MemberwiseClone();
        copy.ended = [.. ended];
        return copy;
    }

    private void End(FrameTime at)
    {
        if (ended.Count == Most)
        {
            // A clock that was set back makes nothing shorter.
            ended[^1] = (ended[^1].From, at > ended[^1].Until ? at : ended[^1].Until);
        }
        else if (at > since)
        {
            ended.Add((since, at));
        }
    }
}
