using BusScope.Analysis.Learning.Timing;
using BusScope.Frames;

namespace BusScope.Analysis.Learning.Conditions;

/// <summary>A bit with one of its two values, and the stretches in which it had it: what may explain the presence of messages.</summary>
internal sealed class BitState
{
    /// <summary>So much of the time the bit and a message's presence must agree.</summary>
    public const double LeastAgreement = 0.85;

    /// <summary>A state that held for fewer periods than this demands nothing.</summary>
    private const double FewestPeriods = 3;

    private readonly List<BitTurn> turnsSeen = [];

    // When it had that value, in order.
    private readonly List<Hold> holds = [];

    /// <summary>The state of a bit.</summary>
    /// <param name="bit">The bit and the value meant.</param>
    /// <param name="turns">Its value at the beginning of each capture, and its turns.</param>
    /// <param name="seen">When its message could have been seen.</param>
    public BitState(SwitchBit bit, IReadOnlyList<BitTurn> turns, IReadOnlyList<Stretch> seen)
    {
        Bit = bit;
        foreach (var capture in seen)
        {
            var from = capture.From;
            var isOn = false;
            var isFirst = true;
            foreach (var turn in turns)
            {
                if (turn.Capture != capture.Capture)
                {
                    continue;
                }

                var now = turn.IsSet == bit.IsSet;
                if (!isFirst)
                {
                    turnsSeen.Add(turn);
                }

                if (isOn && !now)
                {
                    holds.Add(new Hold(capture with { From = from, Until = turn.Time }, turn.Before));
                }

                // What the first frame says held before it.
                from = isFirst ? capture.From : now && !isOn ? turn.Time : from;
                (isOn, isFirst) = (now, false);
            }

            if (isOn)
            {
                holds.Add(new Hold(capture with { From = from }, capture.Until));
            }
        }
    }

    /// <summary>The bit and the value meant.</summary>
    public SwitchBit Bit { get; }

    /// <summary>How often it changed.</summary>
    public int Turns => turnsSeen.Count;

    /// <summary>
    /// How well the state explains when a message was there, 0 to 1; null where an expectation that holds only in this state would have been
    /// disappointed in these captures.
    /// </summary>
    public double? Explains(LearnedTiming timing, Attendance attendance)
    {
        // A bit that turns more often than the message comes and goes is something else that happens to agree. What turns near an end of the capture is not
        // seen to switch the message.
        var grace = Attendance.Grace(timing.StaleAfter) * Attendance.ShareOfLimit;
        var stale = timing.StaleAfter * Attendance.ShareOfLimit;
        var turns = turnsSeen.Count(turn => attendance.Seen.Any(seen => seen.Capture == turn.Capture && turn.Time > seen.From + grace && turn.Time < seen.Until - stale));
        if (turns > attendance.Switches)
        {
            return null;
        }

        double agreed = 0, total = 0;
        foreach (var bus in attendance.Seen)
        {
            double shared = 0, held = 0, present = 0;
            foreach (var (hold, sureUntil) in holds)
            {
                if (hold.Capture != bus.Capture)
                {
                    continue;
                }

                held += Common(hold, bus);
                if (!IsServed(hold with { Until = sureUntil }, bus, timing, attendance.Present))
                {
                    return null;
                }

                foreach (var there in attendance.Present)
                {
                    shared += there.Capture == hold.Capture ? Common(hold, there) : 0;
                }
            }

            foreach (var there in attendance.Present)
            {
                present += there.Capture == bus.Capture ? there.Length.Seconds : 0;
            }

            total += bus.Length.Seconds;
            agreed += bus.Length.Seconds - held - present + (2 * shared);
        }

        return total > 0 && agreed >= LeastAgreement * total ? agreed / total : null;
    }

    // Judged as health judges it, with room to spare: a first frame within the grace time, and none missing until the state was told last.
    private static bool IsServed(Stretch hold, Stretch bus, LearnedTiming timing, IReadOnlyList<Stretch> present)
    {
        var from = hold.From > bus.From ? hold.From : bus.From;
        var until = hold.Until < bus.Until ? hold.Until : bus.Until;
        if (until < from + (timing.Period!.Value * FewestPeriods))
        {
            return true;
        }

        var start = from + (Attendance.Grace(timing.StaleAfter) * Attendance.ShareOfLimit);
        var end = until - (timing.StaleAfter * Attendance.ShareOfLimit);
        return end <= start || present.Any(there => there.Capture == hold.Capture && there.From <= start && there.Until >= end);
    }

    private static double Common(Stretch a, Stretch b)
    {
        var from = a.From > b.From ? a.From : b.From;
        var until = a.Until < b.Until ? a.Until : b.Until;
        return until > from ? (until - from).Seconds : 0;
    }

    // A state ended somewhere between the frame that told it last and the one that told its end: what stopped in between may have stopped with it.
    private readonly record struct Hold(Stretch Stretch, FrameTime SureUntil);
}
