using BusScope.Frames;
using BusScope.Health.Findings;
using BusScope.Health.Tracking;
using BusScope.Signals.Plans;

namespace BusScope.Health;

/// <summary>What a monitor shall measure beside the expectations.</summary>
public sealed record MonitorOptions
{
    /// <summary>Measure the exact length of every frame on the wire, for the load of buses whose bit rate their source states.</summary>
    public bool MeasureLoad { get; init; } = true;

    /// <summary>Note when each payload byte changed last, for live views.</summary>
    public bool MarkChanges { get; init; }

    /// <summary>Note in which frames something was first and last wrong.</summary>
    public bool KeepNumbers { get; init; }

    /// <summary>Keep what a report draws: when each message came at which gaps, and the load of each bus over time.</summary>
    public bool KeepHistory { get; init; }
}

/// <summary>
/// Holds arriving frames against the expectations of a definition set. Knows no clock: time comes with the frames, or by
/// <see cref="Advance"/>. Used by one thread; the reports that it gives out are immutable.
/// </summary>
public sealed class HealthMonitor
{
    /// <summary>The most identifiers that are told apart, over all buses; frames of further ones are counted together.</summary>
    public const int LargestTracks = IdentifierTable.Largest;

    private SessionTrack session;

    /// <summary>A monitor that has seen nothing yet.</summary>
    public HealthMonitor(DefinitionPlan plan, MonitorOptions options)
    {
        Plan = plan;
        Options = options;
        session = new SessionTrack(plan, options);
    }

    /// <summary>What the frames are held against.</summary>
    public DefinitionPlan Plan { get; }

    /// <summary>What is measured beside.</summary>
    public MonitorOptions Options { get; }

    /// <summary>
    /// Why the source ended before its time, or null. With it no verdict is <see cref="Verdict.Go"/>: what was not seen cannot
    /// be vouched for.
    /// </summary>
    public string? Interruption { get; set; }

    /// <summary>A monitor that has seen exactly the same and goes on by itself, on whatever thread.</summary>
    public HealthMonitor Copy()
    {
        var copy = (HealthMonitor)MemberwiseClone();
        copy.session = session.Copy();
        return copy;
    }

    /// <summary>Takes in a batch. Allocates nothing once every identifier has been met and shown its range of periods.</summary>
    /// <param name="batch">The frames.</param>
    /// <param name="buses">The buses of their source, as many as are known by now.</param>
    public void Accept(FrameBatch batch, IReadOnlyList<Bus> buses)
    {
        ArgumentNullException.ThrowIfNull(batch);
        Accept(batch.Frames, buses);
    }

    /// <summary>Takes in frames of a batch. Allocates nothing once every identifier has been met and shown its range of periods.</summary>
    /// <param name="frames">The frames.</param>
    /// <param name="buses">The buses of their source, as many as are known by now.</param>
    public void Accept(ReadOnlySpan<Frame> frames, IReadOnlyList<Bus> buses)
    {
        session.Meet(buses);
        for (var at = 0; at < frames.Length;)
        {
            at += session.AcceptUsual(frames[at..]);
            if (at < frames.Length)
            {
                Accept(frames[at++]);
            }
        }
    }

    private void Accept(in Frame frame)
    {
        var bus = session.Buses[frame.Bus];
        bus.Frames++;
        session.Frames++;
        if (frame.IsErrorReport)
        {
            bus.ErrorFrames++;
            bus.Errors.Note(frame, bus.Latest);
            session.Advance(frame.Time);
            return;
        }

        if (bus.GoesOn(frame.Time))
        {
            bus.Latest = frame.Time;
        }
        else
        {
            session.StepTime(bus, frame.Time);
        }

        if (bus.Load is not null)
        {
            bus.Measure(frame);
        }

        if (frame.IsRemote)
        {
            bus.RemoteFrames++;
        }
        else if (session.Find(bus, frame) is var number and >= 0)
        {
            session.Accept(number, frame);
        }
        else
        {
            bus.OverflowFrames++;
        }
    }

    /// <summary>Takes in how many frames the adapter or the recorder of a bus says it lost so far; a bus without frames is passed over.</summary>
    /// <param name="bus">The index of the bus in its source.</param>
    /// <param name="frames">Frames.</param>
    public void TellLost(int bus, long frames)
    {
        if (bus < session.Buses.Count)
        {
            session.Buses[bus].LostFrames = frames;
        }
    }

    /// <summary>Lets time go on without frames, so that silence is noticed.</summary>
    public void Advance(FrameTime now) => session.Advance(now);

    /// <summary>Takes back the time that went on after the latest frame: it is not known to have been time on the bus.</summary>
    public void TakeBack() => session.TakeBack();

    /// <summary>
    /// Until this moment nothing of a bus could be seen, because its adapter was off or away: what is missing since its last frame is
    /// nobody's fault, and everything is awaited anew. What was missing before stays so.
    /// </summary>
    /// <param name="bus">Its index in the source.</param>
    /// <param name="now">The moment.</param>
    public void Unseen(int bus, FrameTime now) => session.Unseen(bus, now);

    /// <summary>All states in one number: while it stays the same, no message and no bus has changed its state. Far cheaper than a report.</summary>
    public int States()
    {
        session.Flush();
        return StateDigest.Of(session);
    }

    /// <summary>How the gaps of one identifier lie on a bus; null where no two frames of it came.</summary>
    public GapDistribution? Gaps(string bus, CanId id)
    {
        session.Flush();
        foreach (var track in session.Tracks)
        {
            if (track.Id == id && track.Bus.Bus.Name == bus)
            {
                return GapDistribution.Of(track.Periods);
            }
        }

        return null;
    }

    /// <summary>What is known now; with <paramref name="isFinal"/> what a check says once the source has ended.</summary>
    public HealthReport Report(bool isFinal)
    {
        session.Flush();
        return new ReportBuilder(session, isFinal, Interruption).Build();
    }
}
