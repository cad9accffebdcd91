using BusScope.Frames;
using BusScope.Signals.Definitions;
using BusScope.Signals.Plans;

namespace BusScope.Session.Readings;

/// <summary>
/// The signals of one message. Its frames are only put by; they are worked through a block at a time, or earlier when somebody asks. One thread at
/// a time; allocates nothing per frame once its signals have been met and ten seconds have passed.
/// </summary>
internal sealed class FollowedMessage
{
    private readonly TraceRoom traces;
    private readonly RecentRows rows;
    private MessagePlan plan;
    private FollowedSignal?[] signals = [];
    private ValueRange[] ranges = [];

    // Rows of the newest block that were worked through.
    private int done;

    /// <summary>A message of which nothing was seen.</summary>
    /// <param name="plan">How its signals are read.</param>
    /// <param name="room">Where blocks of frames come from.</param>
    /// <param name="traces">Where traces come from.</param>
    public FollowedMessage(MessagePlan plan, RowRoom room, TraceRoom traces)
    {
        this.plan = plan;
        this.traces = traces;
        rows = new RecentRows(room);
        MakeRoom();
    }

    /// <summary>Reads further signals from now on.</summary>
    /// <param name="wider">The plan so far with signals behind its own.</param>
    public void Widen(MessagePlan wider)
    {
        Work();
        plan = wider;
        MakeRoom();
    }

    /// <summary>Takes in a data frame.</summary>
    public void Add(in Frame frame)
    {
        if (!rows.Takes(frame))
        {
            Work();
            rows.Turn(frame);
            done = 0;
        }

        rows.Add(frame);
    }

    /// <summary>What is known of a signal by now; null where it was not met.</summary>
    /// <param name="index">Its index in the message.</param>
    public FollowedSignal? Signal(int index)
    {
        Work();
        return index >= 0 && index < signals.Length ? signals[index] : null;
    }

    /// <summary>Follows a signal in full from now on, and reads what it did lately from the frames that are kept.</summary>
    /// <param name="index">Of a signal that was met.</param>
    public void Look(int index)
    {
        Work();
        var fine = TraceRing.Fine();
        var rate = default(RateWatch);
        foreach (var block in rows.Blocks())
        {
            for (var row = 0; row < block.Count; row++)
            {
                var time = new FrameTime(block.Times[row]);
                var sample = rate.Judge(plan.Read(index, block.Payload(row)), time, plan.Signals[index].Definition.LargestRate);
                if (FollowedSignal.IsSaid(sample))
                {
                    fine.Take(time, new TraceBin((float)sample.Value, (float)sample.Value));
                }
            }
        }

        signals[index]!.Fine = fine;
    }

    private void MakeRoom()
    {
        Array.Resize(ref signals, plan.Signals.Count);
        ranges = new ValueRange[signals.Length];
    }

    private void Work()
    {
        if (rows.Newest is not { } block)
        {
            return;
        }

        while (done < block.Count)
        {
            var end = EndOfSecond(block.Times[done..]) + done;
            plan.Ranges(block, done, end, ranges);
            for (var i = 0; i < signals.Length; i++)
            {
                if (plan.Signals[i].Definition.Encoding != SignalEncoding.Text)
                {
                    Work(i, block, done, end);
                }
            }

            done = end;
        }
    }

    private void Work(int index, MessageBlock block, int from, int to)
    {
        ref var signal = ref signals[index];
        if (ranges[index].HasValue && signal?.Fine is null)
        {
            signal ??= new FollowedSignal(traces.Coarse());
            signal.Take(ranges[index], plan.Read(index, block.Payload(to - 1)), new FrameTime(block.Times[to - 1]));
            return;
        }

        for (var row = from; row < to; row++)
        {
            if (plan.Read(index, block.Payload(row)) is { Quality: not SampleQuality.Absent } sample)
            {
                signal ??= new FollowedSignal(traces.Coarse());
                signal.Take(sample, new FrameTime(block.Times[row]), plan.Signals[index].Definition.LargestRate);
            }
        }
    }

    // How many of the times, from the first on, lie in the same whole second as that one.
    private static int EndOfSecond(ReadOnlySpan<long> times)
    {
        var second = TraceRing.CoarseBin.Nanoseconds;
        var into = ((times[0] % second) + second) % second;
        var count = 1;
        while (count < times.Length && (ulong)(times[count] - times[0] + into) < (ulong)second)
        {
            count++;
        }

        return count;
    }
}

/// <summary>How many signals may have a trace: about 8 kB each. Further ones have their latest, smallest and largest value alone. One thread at a time.</summary>
internal sealed class TraceRoom
{
    private const int Most = 4_096;

    private int given;

    /// <summary>A ring for one more signal, or null.</summary>
    public TraceRing? Coarse() => given++ < Most ? TraceRing.Coarse() : null;
}
