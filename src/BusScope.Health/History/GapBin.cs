namespace BusScope.Health.History;

/// <summary>The frames of one message in one stretch of time, and the gaps before them in seconds.</summary>
public struct GapBin : ITimeBin<GapBin>
{
    /// <summary>Frames.</summary>
    public uint Frames { get; private set; }

    /// <summary>Frames of which the gap before is known; while it is 0 the gaps below mean nothing.</summary>
    public uint Gaps { get; private set; }

    /// <summary>The first gap that ended here, in seconds.</summary>
    public float First { get; private set; }

    /// <summary>The shortest, in seconds.</summary>
    public float Shortest { get; private set; }

    /// <summary>The longest, in seconds.</summary>
    public float Longest { get; private set; }

    /// <summary>The last one, in seconds.</summary>
    public float Last { get; private set; }

    /// <summary>Counts a frame.</summary>
    /// <param name="gap">Nanoseconds since the frame before, or below 0 where that is not known.</param>
    public void Add(long gap)
    {
        Frames++;
        if (gap >= 0)
        {
            Join(1, gap / (float)BusScope.Frames.FrameSpan.NanosecondsPerSecond);
        }
    }

    /// <inheritdoc/>
    public void Absorb(in GapBin later)
    {
        Frames += later.Frames;
        if (later.Gaps > 0)
        {
            Join(later.Gaps, later.First);
            Shortest = Math.Min(Shortest, later.Shortest);
            Longest = Math.Max(Longest, later.Longest);
            Last = later.Last;
        }
    }

    private void Join(uint gaps, float seconds)
    {
        (First, Shortest, Longest) = Gaps == 0 ? (seconds, seconds, seconds) : (First, Math.Min(Shortest, seconds), Math.Max(Longest, seconds));
        Last = seconds;
        Gaps += gaps;
    }
}
