using BusScope.Frames;
using BusScope.Health;

namespace BusScope.Session.Replay;

/// <summary>
/// Takes the frames of a recording into its monitor, and on the way looks for events: at moments that follow from the recording alone. So
/// what happened is the same however fast it is replayed, and wherever one jumped from.
/// </summary>
/// <param name="monitor">What takes the frames in.</param>
/// <param name="events">What keeps the events.</param>
/// <param name="passage">The way up to here.</param>
internal sealed class Lookout(HealthMonitor monitor, EventLog events, Passage passage)
{
    // A look costs as much as some hundred frames, so they are the rarer the less there is to see.
    private const long Grid = 250 * FrameSpan.NanosecondsPerMillisecond;
    private const long LongestApart = 2 * Grid;
    private const int EnoughFrames = 250;

    // A report costs more again, and is made when a state has changed; without that as often as this, for a verdict may change all the same.
    private const long ReportedEvery = 4 * Grid;

    // A recording whose clock leaps ahead further than this is not looked at all the way.
    private const long LongestLeap = 40 * Grid;
    private const long Largest = long.MaxValue - (2 * LongestLeap);

    private long lookedAt;
    private long framesAtLook;
    private long reportedAt;
    private int states;
    private int buses;

    // The next moment of the grid; the first frame later than it comes after it.
    private long next = long.MaxValue;

    /// <summary>What takes the frames in.</summary>
    public HealthMonitor Monitor => monitor;

    /// <summary>What keeps the events.</summary>
    public EventLog Events => events;

    /// <summary>The way of the frames that were taken in.</summary>
    public Passage Passage => passage;

    /// <summary>How often it looked so far.</summary>
    public long Looks { get; private set; }

    /// <summary>The same state of everything, which goes on by itself.</summary>
    public Lookout Copy() => new(monitor.Copy(), events.Copy(), passage.Copy())
    {
        lookedAt = lookedAt,
        framesAtLook = framesAtLook,
        reportedAt = reportedAt,
        states = states,
        buses = buses,
        next = next,
        Looks = Looks,
    };

    /// <summary>Takes in frames.</summary>
    /// <param name="batch">The frames.</param>
    /// <param name="source">Where they come from.</param>
    public void Accept(FrameBatch batch, IFrameSource source)
    {
        if (batch.Count == 0)
        {
            return;
        }

        var known = source.Buses;
        var from = 0;
        for (var i = 0; i < batch.Count; i++)
        {
            ref readonly var frame = ref batch.Frames[i];
            var time = frame.Time;
            if (time.Nanoseconds > next || passage.Standing.Frames == 0 || passage.IsSetBack(frame))
            {
                monitor.Accept(batch.Frames[from..i], known);
                from = i;
                Pass(frame, source);
            }

            if (buses != known.Count)
            {
                // The time of a bus begins when it is met, and not when somebody happens to look.
                buses = known.Count;
                monitor.Accept([], known);
                monitor.Advance(time);
            }

            passage.Pass(frame);
        }

        monitor.Accept(batch.Frames[from..], known);
    }

    /// <summary>Lets time go on without a frame.</summary>
    public void Advance(FrameTime now, IFrameSource source)
    {
        LookUntil(now.Nanoseconds, source);
        monitor.Advance(now);
    }

    // Before this frame.
    private void Pass(in Frame frame, IFrameSource source)
    {
        var (time, standing) = (frame.Time, passage.Standing);
        if (standing.Frames == 0 || passage.IsSetBack(frame))
        {
            // All buses end the stretch at the same moment, and begin the next one at the same.
            if (standing.Latest.IsKnown)
            {
                monitor.Advance(standing.Latest);
                monitor.Advance(time);
            }

            // The first moment of the grid that is not before it.
            next = time.Nanoseconds > Largest ? long.MaxValue : -GridBefore(-time.Nanoseconds);
            (lookedAt, framesAtLook, reportedAt) = (next, standing.Frames, long.MinValue / 2);
            return;
        }

        LookUntil(time.Nanoseconds, source);
        if (next < time.Nanoseconds)
        {
            next = Math.Max(next, GridBefore(time.Nanoseconds - 1));
            Look(source);
        }
    }

    private void LookUntil(long time, IFrameSource source)
    {
        var leap = passage.Standing.Latest.Nanoseconds + LongestLeap;
        while (next < time && next <= leap)
        {
            if (passage.Standing.Frames - framesAtLook >= EnoughFrames || next - lookedAt >= LongestApart)
            {
                Look(source);
            }
            else
            {
                Step();
            }
        }
    }

    private void Look(IFrameSource source)
    {
        Looks++;
        monitor.Advance(new FrameTime(next));
        if (monitor.States() is var now && (now != states || next >= reportedAt + ReportedEvery))
        {
            (states, reportedAt) = (now, next);
            LiveTurn.TellLost(source, monitor);
            events.Compare(monitor.Report(isFinal: false));
            events.Compare(source);
        }

        (lookedAt, framesAtLook) = (next, passage.Standing.Frames);
        Step();
    }

    private void Step() => next = next > Largest ? long.MaxValue : next + Grid;

    private static long GridBefore(long time) => time - (((time % Grid) + Grid) % Grid);
}
