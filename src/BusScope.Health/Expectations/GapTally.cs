using BusScope.Frames;

namespace BusScope.Health.Expectations;

/// <summary>Gaps longer than a limit: how many, the first, and the longest.</summary>
internal sealed class GapTally
{
    /// <summary>How many.</summary>
    public long Count { get; private set; }

    /// <summary>When the first of them began; meaningless while <see cref="Count"/> is 0.</summary>
    public FrameTime First { get; private set; }

    /// <summary>When the last of them ended; meaningless while <see cref="Count"/> is 0.</summary>
    public FrameTime Last { get; private set; }

    /// <summary>All of them together.</summary>
    public FrameSpan Total { get; private set; }

    /// <summary>The longest of them.</summary>
    public FrameSpan Longest { get; private set; }

    /// <summary>When the longest began; meaningless while <see cref="Count"/> is 0.</summary>
    public FrameTime LongestFrom { get; private set; }

    /// <summary>The same count, which goes on by itself.</summary>
    public GapTally Copy() => (GapTally)MemberwiseClone();

    /// <summary>Counts a gap.</summary>
    public void Add(FrameTime from, FrameTime until)
    {
        var length = until - from;
        if (Count++ == 0)
        {
            First = from;
        }

        Last = until;
        Total += length;
        if (length > Longest)
        {
            Longest = length;
            LongestFrom = from;
        }
    }
}
