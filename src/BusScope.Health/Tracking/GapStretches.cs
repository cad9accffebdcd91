using BusScope.Frames;

namespace BusScope.Health.Tracking;

/// <summary>A frame of a session.</summary>
/// <param name="Time">When it came.</param>
/// <param name="Number">Its number, or 0 where that is not kept.</param>
internal readonly record struct FramePlace(FrameTime Time, long Number);

/// <summary>Stretches in which the gaps of a message were odd again and again: one odd gap says nothing of when that began.</summary>
/// <param name="apart">The odd gap before is at most so many gaps away; 1 where all of a stretch are odd.</param>
/// <param name="fewest">How many odd gaps make a stretch.</param>
internal sealed class GapStretches(int apart, int fewest)
{
    // The stretch at hand: so many odd gaps, since a frame and a gap, the latest one.
    private int odd;
    private FramePlace begun;
    private long firstGap;
    private long latestGap;

    /// <summary>The odd gaps of all stretches.</summary>
    public long Odd { get; private set; }

    /// <summary>The gaps of all stretches, those between odd ones included.</summary>
    public long Gaps { get; private set; }

    /// <summary>How long they lasted together.</summary>
    public FrameSpan Time { get; private set; }

    /// <summary>The frame before the first; meaningless while <see cref="Gaps"/> is 0.</summary>
    public FramePlace First { get; private set; }

    /// <summary>The frame that ended the last; meaningless while <see cref="Gaps"/> is 0.</summary>
    public FramePlace Last { get; private set; }

    /// <summary>The mean gap; meaningless while <see cref="Gaps"/> is 0.</summary>
    public FrameSpan Mean => new(Time.Nanoseconds / Gaps);

    /// <summary>The same stretches, which go on by themselves.</summary>
    public GapStretches Copy() => (GapStretches)MemberwiseClone();

    /// <summary>Whether an odd gap would belong to the stretch at hand.</summary>
    /// <param name="gap">The gap's number.</param>
    public bool IsOpen(long gap) => odd > 0 && gap - latestGap <= apart;

    /// <summary>The next odd gap begins a new stretch.</summary>
    public void Break() => odd = 0;

    /// <summary>Takes in an odd gap.</summary>
    /// <param name="gap">Its number.</param>
    /// <param name="from">The frame with which what is odd began.</param>
    /// <param name="until">The frame that ended it.</param>
    public void Add(long gap, FramePlace from, FramePlace until)
    {
        if (!IsOpen(gap))
        {
            (odd, begun, firstGap) = (0, from, gap);
        }

        odd++;
        if (odd == fewest)
        {
            First = Gaps == 0 ? begun : First;
            Time += until.Time - begun.Time;
            Gaps += gap - firstGap + 1;
            Odd += odd;
        }
        else if (odd > fewest)
        {
            Time += until.Time - Last.Time;
            Gaps += gap - latestGap;
            Odd++;
        }

        latestGap = gap;
        Last = odd >= fewest ? until : Last;
    }
}
