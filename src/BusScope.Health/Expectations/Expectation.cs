using BusScope.Frames;
using BusScope.Signals.Definitions;

namespace BusScope.Health.Expectations;

/// <summary>
/// What is expected of one message in time, from one sender, and what came of it. It holds from the session's first frame, or
/// while its condition does; after it began, and after a silence of the whole bus, a grace time runs in which the first frame
/// is awaited. Knows no clock: every moment comes as an argument.
/// </summary>
internal sealed class Expectation
{
    /// <summary>The shortest time in which a first frame is awaited: modules take about that long to wake up and speak.</summary>
    public static readonly FrameSpan ShortestGrace = FrameSpan.FromSeconds(1);

    private FrameTime last = FrameTime.Never;
    private FrameTime heldSince = FrameTime.Never;
    private FrameTime heldUntil = FrameTime.Never;
    private FrameSpan longestHeld;
    private FrameSpan longestAwaited;
    private bool isAwaited = true;

    // What no recording holds is missed by nobody.
    private FrameTime? recordedFrom;
    private FrameTime? recordedUntil;

    /// <summary>An expectation that has not begun.</summary>
    /// <param name="timing">Its <see cref="MessageTiming.StaleAfter"/> is not null.</param>
    public Expectation(MessageTiming timing)
    {
        StaleAfter = timing.StaleAfter!.Value;
        LateAfter = timing.LateAfter is { } late && late < StaleAfter ? late : StaleAfter;
        Grace = StaleAfter > ShortestGrace ? StaleAfter : ShortestGrace;
    }

    /// <summary>The condition while which it holds, or null.</summary>
    public Condition? Condition { get; set; }

    /// <summary>Silence beyond this is late.</summary>
    public FrameSpan LateAfter { get; }

    /// <summary>Silence beyond this is stale.</summary>
    public FrameSpan StaleAfter { get; }

    /// <summary>How long a first frame is awaited.</summary>
    public FrameSpan Grace { get; }

    /// <summary>Whether anything is expected at the moment.</summary>
    public bool Holds { get; private set; }

    /// <summary>Whether it ever held.</summary>
    public bool EverHeld { get; private set; }

    /// <summary>Since when a first frame is awaited, or was at last.</summary>
    public FrameTime AwaitedSince { get; private set; } = FrameTime.Never;

    /// <summary>Gaps beyond <see cref="LateAfter"/> up to <see cref="StaleAfter"/>.</summary>
    public GapTally LateGaps { get; private set; } = new();

    /// <summary>Gaps beyond <see cref="StaleAfter"/>, and first frames later than <see cref="Grace"/>.</summary>
    public GapTally StaleGaps { get; private set; } = new();

    /// <summary>Gaps judged.</summary>
    public long Gaps { get; private set; }

    /// <summary>The same expectation, which goes on by itself.</summary>
    public Expectation Copy()
    {
        var copy = (Expectation)MemberwiseClone();
        copy.LateGaps = LateGaps.Copy();
        copy.StaleGaps = StaleGaps.Copy();
        return copy;
    }

    /// <summary>From this moment on something is expected.</summary>
    public void Begin(FrameTime at)
    {
        Holds = true;
        EverHeld = true;
        heldSince = at < recordedFrom ? recordedFrom.Value : at;
        Await(heldSince);
    }

    /// <summary>It can be seen only while its bus is recorded.</summary>
    /// <param name="from">When the recording began, or null where nothing says that it did so later than the session.</param>
    /// <param name="until">When it ended, or null.</param>
    public void Record(FrameTime? from, FrameTime? until)
    {
        (recordedFrom, recordedUntil) = (from, until);
        if (Holds && isAwaited && !last.IsKnown && AwaitedSince < from)
        {
            Begin(AwaitedSince);
        }
    }

    /// <summary>From this moment on nothing is expected.</summary>
    /// <param name="at">The moment.</param>
    /// <param name="heard">
    /// Until when its bus was heard, of a silence in progress nobody can say that this message should have ended it; and until when it was surely expected.
    /// </param>
    public void End(FrameTime at, FrameTime heard)
    {
        Close(heard < at ? heard : at);
        longestHeld = HeldAt(at);
        longestAwaited = LongestAwaitedAt(heard < at ? heard : at);
        heldUntil = at;
        Holds = false;
    }

    /// <summary>The whole bus was silent from one moment to the other: that silence is not this message's.</summary>
    public void Interrupt(FrameTime from, FrameTime until)
    {
        Close(from);
        longestAwaited = LongestAwaitedAt(from);
        Await(until);
    }

    /// <summary>The clock of the source was set back, or nothing could be seen for a while: what lies before cannot be compared with what follows.</summary>
    /// <param name="at">The moment from which on it is expected anew.</param>
    /// <param name="seen">Until when its bus was seen, by the same clock as the moment, or null.</param>
    public void Restart(FrameTime at, FrameTime? seen = null)
    {
        if (seen is { } until)
        {
            Close(until);
        }

        longestHeld = HeldAt(last);
        (heldSince, heldUntil) = (at, FrameTime.Never);
        Await(at);
    }

    /// <summary>Frames arrived at these moments.</summary>
    /// <param name="times">Nanoseconds, in order of arrival.</param>
    /// <param name="longestGap">The longest gap among them and from the frame before.</param>
    public void Arrive(ReadOnlySpan<long> times, long longestGap)
    {
        if (Holds && (isAwaited || longestGap > LateAfter.Nanoseconds))
        {
            Judge(times);
        }
        else if (Holds)
        {
            Gaps += times.Length;
        }

        last = new FrameTime(times[^1]);
        isAwaited &= !Holds;
    }

    /// <summary>The state at a moment.</summary>
    public MessageState StateAt(FrameTime now)
    {
        now = Recorded(now);
        if (Holds && Condition?.KnownUntil(now) is { } known && known < now)
        {
            // What had stopped when its condition was known last has stopped; of all else nobody knows.
            return StateOf(known) is var state and (MessageState.Stale or MessageState.Missing) ? state : MessageState.Idle;
        }

        return StateOf(now);
    }

    /// <summary>How long a first frame has been awaited at a moment, or was at the longest before nothing was expected any more.</summary>
    public FrameSpan AwaitedFor(FrameTime now) => Holds || StaleGaps.Count == 0 ? Recorded(now) - AwaitedSince : StaleGaps.Longest;

    /// <summary>The longest time without a break for which a first frame was awaited, up to a moment.</summary>
    public FrameSpan LongestAwaitedAt(FrameTime now)
    {
        var current = Holds && isAwaited && now.IsKnown ? Recorded(now) - AwaitedSince : FrameSpan.Zero;
        return current > longestAwaited ? current : longestAwaited;
    }

    /// <summary>The longest time without a break for which it held, up to a moment.</summary>
    public FrameSpan HeldAt(FrameTime now)
    {
        var current = Holds && now.IsKnown ? Recorded(now) - heldSince : FrameSpan.Zero;
        return current > longestHeld ? current : longestHeld;
    }

    /// <summary>Whether it holds, or did at some moment after the given one.</summary>
    public bool HoldsBeyond(FrameTime moment) => Holds || heldUntil > moment;

    private MessageState StateOf(FrameTime now)
    {
        if (!Holds)
        {
            // What never came while it was expected stays missing: the key that goes off at the end of a drive excuses nothing.
            return Condition is null ? MessageState.Awaited
                : !last.IsKnown && StaleGaps.Count > 0 ? MessageState.Missing
                : MessageState.Idle;
        }

        if (isAwaited)
        {
            return now - AwaitedSince <= Grace ? MessageState.Awaited
                : last.IsKnown ? MessageState.Stale
                : MessageState.Missing;
        }

        var age = now - last;
        return age <= LateAfter ? MessageState.Fresh
            : age <= StaleAfter ? MessageState.Late
            : MessageState.Stale;
    }

    private FrameTime Recorded(FrameTime at) => recordedUntil is { } until && until < at ? until : at;

    private void Await(FrameTime at)
    {
        AwaitedSince = at;
        isAwaited = true;
    }

    private void Judge(ReadOnlySpan<long> times)
    {
        foreach (var nanoseconds in times)
        {
            var time = new FrameTime(nanoseconds);
            Close(time);
            isAwaited = false;
            last = time;
            Gaps++;
        }
    }

    // Judges the time since the last frame, or since the first one is awaited.
    private void Close(FrameTime at)
    {
        if (!Holds)
        {
            return;
        }

        // Of the time after its condition was known last nobody can say that anything should have come.
        var from = isAwaited ? AwaitedSince : last;
        var until = Recorded(Condition?.KnownUntil(at) ?? at);
        var gap = until - from;
        if (gap > (isAwaited ? Grace : StaleAfter))
        {
            StaleGaps.Add(from, until);
        }
        else if (!isAwaited && gap > LateAfter)
        {
            LateGaps.Add(from, until);
        }
    }
}
