using BusScope.Frames;
using BusScope.Frames.Diagnostics;

namespace BusScope.Transport.Audit;

/// <summary>
/// Watches the times of a recording: steps back on a bus, buses out of order with each other, clocks that restart or wrap, frames
/// left over at the start. The common case, time goes on, is two comparisons; all else is in methods of its own.
/// </summary>
internal sealed class ClockAudit
{
    private const long LargestStep = FrameSpan.NanosecondsPerSecond;

    // A clock of seconds within a minute falls from just under 60 s to just above 0; a gap at the wrap makes the fall smaller.
    private const long LeastMinute = 59 * FrameSpan.NanosecondsPerSecond;
    private const long MostMinute = 60 * FrameSpan.NanosecondsPerSecond;

    // Left-over frames fill at most a recorder's buffer.
    private const long MostStaleFrames = 4_096;
    private const long LongestStale = 5 * FrameSpan.NanosecondsPerSecond;

    private readonly bool isLive;
    private ProblemLog problems;
    private long[] lastOfBus = [];
    private int[] runOfBus = [];
    private long last = long.MinValue;

    // The latest time on any bus; after a clock was set back it stays above the times that follow, which then go the longer way.
    private long highest = long.MinValue;
    private int run;
    private long largestStep;
    private long seen;
    private long earliest = long.MaxValue;
    private long latest = long.MinValue;
    private Fall? openStart;
    private Fall? openMinute;
    private bool wraps;

    /// <summary>Has seen no frame.</summary>
    /// <param name="problems">Where what is found is counted.</param>
    /// <param name="isLive">Whether frames come as they happen: then nothing is left over from before, and a clock that falls back was set.</param>
    public ClockAudit(ProblemLog problems, bool isLive = false) => (this.problems, this.isLive) = (problems, isLive);

    /// <summary>A fall of the clock whose meaning shows only later.</summary>
    private readonly record struct Fall(ProblemPlace Place, long Step, long FramesBefore, string Detail);

    /// <summary>One that has seen the same and goes on by itself.</summary>
    /// <param name="others">Where what it finds is counted.</param>
    public ClockAudit For(ProblemLog others)
    {
        var copy = (ClockAudit)MemberwiseClone();
        copy.problems = others;
        copy.lastOfBus = [.. lastOfBus];
        copy.runOfBus = [.. runOfBus];
        return copy;
    }

    /// <summary>
    /// Takes in the times of frames for as long as time just goes on: later than everything before, on whatever bus. That is the whole
    /// of nearly every batch.
    /// </summary>
    /// <returns>How many frames were taken in; the next one needs <see cref="Next"/>.</returns>
    public int Pass(ReadOnlySpan<Frame> frames)
    {
        if (seen < MostStaleFrames)
        {
            return 0;
        }

        var newest = Math.Max(highest, 0);
        var count = 0;
        var lasts = lastOfBus;
        foreach (ref readonly var frame in frames)
        {
            var time = frame.Time.Nanoseconds;
            var bus = frame.Bus;
            if (time < newest || bus >= lasts.Length)
            {
                break;
            }

            lasts[bus] = newest = time;
            count++;
        }

        if (count > 0)
        {
            last = highest = newest;
            seen += count;
        }

        return count;
    }

    /// <summary>Takes in the time of the next frame.</summary>
    public void Next(in Frame frame, FrameBatch batch, int index, IReadOnlyList<Bus> buses)
    {
        var time = frame.Time.Nanoseconds;
        var bus = frame.Bus;
        if (bus >= lastOfBus.Length)
        {
            Grow(bus);
        }

        ref var lastHere = ref lastOfBus[bus];
        if (time < last || time < lastHere || time < 0 || seen < MostStaleFrames)
        {
            Odd(time, bus, lastHere, new ProblemPlace(batch.FirstNumber + index, Bus: bus < buses.Count ? buses[bus].Name : null));
        }

        lastHere = time;
        last = time;
        highest = Math.Max(highest, time);
        seen++;
    }

    /// <summary>The source has ended: what is still open is decided.</summary>
    public void End()
    {
        DecideStart();
        if (openMinute is { } single)
        {
            problems.Add(AuditProblems.ClockRestarts, single.Place, single.Detail);
            openMinute = null;
        }

        if (largestStep > 0)
        {
            problems.Describe(AuditProblems.TimeStepsBack, $"the largest step is {new FrameSpan(largestStep)}");
        }
    }

    private void Odd(long time, int bus, long lastHere, ProblemPlace place)
    {
        if (time < 0)
        {
            problems.Add(AuditProblems.TimeBelowZero, place, problems.IsNew(AuditProblems.TimeBelowZero) ? $"{new FrameTime(time)} s" : null);
        }

        var step = Step(lastHere, time);
        if (step > LargestStep)
        {
            // Every bus falls back when the clock does; the first to do so counts for all.
            if (runOfBus[bus] == run)
            {
                run++;
                Fell(step, place, time);
            }

            runOfBus[bus] = run;
        }
        else if (step > 0)
        {
            problems.Add(AuditProblems.TimeStepsBack, place, problems.IsNew(AuditProblems.TimeStepsBack) ? $"by {new FrameSpan(step)}" : null);
            largestStep = Math.Max(largestStep, step);
        }
        else if (time < last)
        {
            problems.Add(AuditProblems.BusesInterleaved, place, problems.IsNew(AuditProblems.BusesInterleaved) ? $"by {new FrameSpan(Step(last, time))}" : null);
        }

        if (run == 0 && seen < MostStaleFrames)
        {
            earliest = Math.Min(earliest, time);
            latest = Math.Max(latest, time);
        }
    }

    private void Fell(long step, ProblemPlace place, long time)
    {
        var fall = new Fall(place, step, seen, $"by {new FrameSpan(step)}, to {new FrameTime(time)} s");
        if (!isLive && step is >= LeastMinute and <= MostMinute)
        {
            FellByAMinute(fall);
        }
        else if (!isLive && run == 1 && seen <= MostStaleFrames && latest - earliest <= LongestStale)
        {
            openStart = fall;
        }
        else
        {
            DecideStart();
            problems.Add(AuditProblems.ClockRestarts, place, fall.Detail);
        }
    }

    private void FellByAMinute(Fall fall)
    {
        if (wraps)
        {
            problems.Add(AuditProblems.ClockWraps, fall.Place);
        }
        else if (openMinute is { } first)
        {
            wraps = true;
            problems.Add(AuditProblems.ClockWraps, first.Place, first.Detail, 2);
            openMinute = null;
        }
        else
        {
            openMinute = fall;
        }
    }

    // Few frames, then a recording that is longer: left over. Otherwise the clock was started anew.
    private void DecideStart()
    {
        if (openStart is not { } fall)
        {
            return;
        }

        openStart = null;
        if (seen - fall.FramesBefore > fall.FramesBefore)
        {
            problems.Add(
                AuditProblems.StaleFrames,
                new ProblemPlace(1),
                $"the first {fall.FramesBefore} frames, from {new FrameTime(earliest)} s to {new FrameTime(latest)} s; {fall.Place} falls back {fall.Detail}",
                fall.FramesBefore);
        }
        else
        {
            problems.Add(AuditProblems.ClockRestarts, fall.Place, fall.Detail);
        }
    }

    private static long Step(long before, long now) => before == long.MinValue || now >= before ? 0 : (long)Int128.Min((Int128)before - now, long.MaxValue);

    private void Grow(int bus)
    {
        var had = lastOfBus.Length;
        Array.Resize(ref lastOfBus, bus + 8);
        Array.Resize(ref runOfBus, bus + 8);
        lastOfBus.AsSpan(had).Fill(long.MinValue);
        runOfBus.AsSpan(had).Fill(run);
    }
}
