using BusScope.Frames;
using BusScope.Signals.Definitions;

namespace BusScope.Health.Tracking;

/// <summary>
/// When a message with a period came too slowly, too fast, unevenly or from two senders: quantiles over a whole check do not know, and a slow
/// sender has few gaps to weigh in them. Gaps are looked at one by one only in blocks that have an odd one.
/// </summary>
internal sealed class PaceWatch
{
    // Beyond half a period off, the usual gap is no matter of jitter any more. This program's choice, as all figures here.
    public const double SlowRatio = 1.5;
    public const double FastRatio = 0.6;

    // Two frames of two senders are off by this much of the period from halfway at least, and each gap and the next make up the period.
    private const double SmallestDifference = 0.25;
    private const double LargestPairError = 0.15;

    private readonly long every;
    private readonly long slow;
    private readonly long fast;
    private FramePlace secondLast;
    private FramePlace last;
    private long gapBefore = -1;
    private long gapNumber;
    private long extraNumber;
    private bool isBroken = true;

    /// <summary>A watch that has seen nothing.</summary>
    /// <param name="every">The period, more than 0.</param>
    /// <param name="onChange">Whether it may also come in between.</param>
    public PaceWatch(FrameSpan every, bool onChange)
    {
        this.every = every.Nanoseconds;
        slow = (every * SlowRatio).Nanoseconds;
        fast = onChange ? 0 : (every * FastRatio).Nanoseconds;
    }

    /// <summary>For how long it was expected and watched.</summary>
    public FrameSpan Time { get; private set; }

    /// <summary>The mean gap while it was expected, in nanoseconds; NaN before the first.</summary>
    public double Mean => gapNumber == 0 ? double.NaN : Time.Nanoseconds / (double)gapNumber;

    /// <summary>Gaps that are all too long.</summary>
    public GapStretches Slow { get; private set; } = new(apart: 1, fewest: 4);

    /// <summary>The gaps that are all too long and that nothing but a break came after: how it comes now.</summary>
    public GapRun SlowNow { get; private set; }

    /// <summary>Gaps that are all too short.</summary>
    public GapStretches Fast { get; private set; } = new(apart: 1, fewest: 8);

    /// <summary>Gaps of which some are too short.</summary>
    public GapStretches Uneven { get; private set; } = new(apart: 40, fewest: 3);

    /// <summary>Gaps of which each and the next, a short and a long one, make up the period.</summary>
    public GapStretches Paired { get; private set; } = new(apart: 3, fewest: 40);

    /// <summary>Single frames in between: two gaps that make up the period, however far from the ones before.</summary>
    public GapStretches Extra { get; private set; } = new(apart: int.MaxValue, fewest: 8);

    /// <summary>The watch of a message; null where it has no period.</summary>
    public static PaceWatch? Of(MessageTiming timing) => timing.Every is { } every ? new PaceWatch(every, timing.OnChange) : null;

    /// <summary>The same watch, which goes on by itself.</summary>
    public PaceWatch Copy()
    {
        var copy = (PaceWatch)MemberwiseClone();
        (copy.Slow, copy.Fast, copy.Uneven, copy.Paired, copy.Extra) = (Slow.Copy(), Fast.Copy(), Uneven.Copy(), Paired.Copy(), Extra.Copy());
        return copy;
    }

    /// <summary>The next gap is none of the message: its bus was silent, time was set back, or nothing was expected.</summary>
    public void Break()
    {
        isBroken = true;
        gapBefore = -1;
        Slow.Break();
        Fast.Break();
        Uneven.Break();
        Paired.Break();
    }

    /// <summary>Takes in frames that came together.</summary>
    /// <param name="times">Nanoseconds, in order of arrival.</param>
    /// <param name="numbers">Their numbers in the session; empty where they are not kept.</param>
    /// <param name="gaps">The gap before each of them in nanoseconds.</param>
    /// <param name="range">The shortest and the longest of the gaps.</param>
    public void Arrive(ReadOnlySpan<long> times, ReadOnlySpan<long> numbers, ReadOnlySpan<long> gaps, GapRange range)
    {
        var since = isBroken ? times[0] : last.Time.Nanoseconds;
        Time += new FrameSpan(Math.Max(0, times[^1] - since));
        if (range.Longest > slow || range.Shortest < fast || IsAnyOpen())
        {
            Look(times, numbers, gaps);
        }
        else
        {
            SlowNow = isBroken && gaps.Length == 1 ? SlowNow : default;
            gapNumber += gaps.Length - (isBroken ? 1 : 0);
            gapBefore = isBroken && gaps.Length == 1 ? -1 : gaps[^1];
            secondLast = times.Length == 1 ? last : Place(times, numbers, times.Length - 2);
        }

        last = Place(times, numbers, times.Length - 1);
        isBroken = false;
    }

    private bool IsAnyOpen() => Slow.IsOpen(gapNumber + 1) || Fast.IsOpen(gapNumber + 1) || Uneven.IsOpen(gapNumber + 1) || Paired.IsOpen(gapNumber + 1);

    private void Look(ReadOnlySpan<long> times, ReadOnlySpan<long> numbers, ReadOnlySpan<long> gaps)
    {
        for (var i = 0; i < gaps.Length; i++)
        {
            var isNone = i == 0 && isBroken;
            var gap = isNone ? -1 : gaps[i];
            var place = Place(times, numbers, i);
            gapNumber += isNone ? 0 : 1;
            SlowNow = gap > slow ? SlowNow.With(last, place) : gap >= 0 ? default : SlowNow;
            if (gap > slow)
            {
                Slow.Add(gapNumber, last, place);
            }
            else if (gap >= 0 && gap < fast)
            {
                Fast.Add(gapNumber, last, place);
                Uneven.Add(gapNumber, last, place);
            }

            if (fast > 0 && gap >= 0 && gapBefore >= 0 && ArePair(gapBefore, gap))
            {
                Paired.Add(gapNumber, secondLast, place);
                CountExtra(place);
            }

            (secondLast, last, gapBefore) = (last, place, gap);
        }
    }

    // Two frames in between one after the other make three pairs: each gap belongs to one.
    private void CountExtra(FramePlace place)
    {
        if (gapNumber - extraNumber > 1)
        {
            Extra.Add(gapNumber, secondLast, place);
            extraNumber = gapNumber;
        }
    }

    private bool ArePair(long gap, long next) =>
        Math.Abs(gap + next - every) < LargestPairError * every && Math.Abs(gap - next) > SmallestDifference * every;

    private static FramePlace Place(ReadOnlySpan<long> times, ReadOnlySpan<long> numbers, int row) =>
        new(new FrameTime(times[row]), numbers.IsEmpty ? 0 : numbers[row]);
}
