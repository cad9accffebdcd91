using System.Runtime.InteropServices;
using BusScope.Frames;
using BusScope.Frames.Wire;
using BusScope.Health.Expectations;
using BusScope.Health.History;
using BusScope.Signals.Plans;

namespace BusScope.Health.Tracking;

/// <summary>Everything seen of all buses: who is who, what time it is, and what the rare events of a bus do to its messages.</summary>
internal sealed class SessionTrack
{
    // Twelve kilobytes each.
    private const int LargestHistories = 2_048;

    private readonly bool hasConditions;
    private IdentifierTable table = new();
    private Gathering gathering;
    private BusPauses pauses;
    private List<MessageTrack> tracks = [];
    private FrameTime advanced = FrameTime.Never;

    /// <summary>A session that has not begun.</summary>
    public SessionTrack(DefinitionPlan plan, MonitorOptions options)
    {
        Plan = plan;
        Options = options;
        gathering = new Gathering(options.MarkChanges, options.KeepNumbers);
        Messages = [.. plan.Messages.Select((message, index) => new DefinedMessage(index, message))];
        pauses = new BusPauses(Messages);
        Needs = new Needs(plan.Definitions);
        Conditions = new Conditions(plan, Messages, options.KeepHistory, HeardUntil);
        hasConditions = Messages.Any(message => message.IsWatched);
        Places = new MessagePlaces(Messages, Buses, tracks);
    }

    /// <summary>The definitions.</summary>
    public DefinitionPlan Plan { get; }

    /// <summary>What is measured.</summary>
    public MonitorOptions Options { get; }

    /// <summary>In the order of the source.</summary>
    public List<BusTrack> Buses { get; private set; } = [];

    /// <summary>In the order of the definitions.</summary>
    public IReadOnlyList<DefinedMessage> Messages { get; private set; }

    /// <summary>Who lives on what.</summary>
    public Needs Needs { get; }

    /// <summary>The conditions under which messages are expected.</summary>
    public Conditions Conditions { get; private set; }

    /// <summary>Which bus of the source each message is expected on.</summary>
    public MessagePlaces Places { get; private set; }

    /// <summary>In the order of their first frames.</summary>
    public IReadOnlyList<MessageTrack> Tracks => tracks;

    /// <summary>Frames of all kinds on all buses.</summary>
    public long Frames { get; set; }

    /// <summary>The earliest moment of the session, or <see cref="FrameTime.Never"/>.</summary>
    public FrameTime Earliest { get; private set; } = FrameTime.Never;

    /// <summary>The moment at which the session began, or <see cref="FrameTime.Never"/>.</summary>
    public FrameTime Start { get; private set; } = FrameTime.Never;

    /// <summary>The latest moment, or later where time went on without frames.</summary>
    public FrameTime Now => Heard is var heard && advanced > heard ? advanced : heard;

    /// <summary>The latest moment at which anything was heard.</summary>
    public FrameTime Heard => BusTrack.LatestOf(Buses);

    /// <summary>The same session, which goes on by itself; only what nobody changes is shared.</summary>
    public SessionTrack Copy()
    {
        var copy = (SessionTrack)MemberwiseClone();
        copy.table = table.Copy();
        copy.gathering = gathering.Copy();
        copy.Buses = Buses.ConvertAll(bus => bus.Copy());
        copy.Messages = [.. Messages.Select(message => message.Copy())];
        copy.tracks = tracks.ConvertAll(track => track.For(copy.Buses[track.Bus.Index], track.Defined is { } defined ? copy.Messages[defined.Index] : null, copy.gathering));
        foreach (var bus in Buses)
        {
            copy.Buses[bus.Index].Tracks.AddRange(bus.Tracks.Select(track => copy.tracks[track.Number]));
        }

        foreach (var message in Messages)
        {
            copy.Messages[message.Index].Tracks.AddRange(message.Tracks.Select(track => copy.tracks[track.Number]));
        }

        copy.pauses = new BusPauses(copy.Messages);
        copy.Conditions = Conditions.For(copy.Messages, copy.HeardUntil);
        copy.Places = Places.For(copy.Messages, copy.Buses, copy.tracks);
        return copy;
    }

    /// <summary>Takes in buses that were not known before.</summary>
    public void Meet(IReadOnlyList<Bus> known)
    {
        if (known.Count > Buses.Count)
        {
            Add(known);
        }

        foreach (var bus in Buses)
        {
            var stated = known[bus.Index];
            if ((stated.RecordedFrom, stated.RecordedUntil) != (bus.RecordedFrom, bus.RecordedUntil))
            {
                (bus.RecordedFrom, bus.RecordedUntil) = (stated.RecordedFrom, stated.RecordedUntil);
                Places.Record(bus);
            }
        }
    }

    private void Add(IReadOnlyList<Bus> known)
    {
        var wasOnly = Buses.Count == 1;
        while (Buses.Count < known.Count)
        {
            var meter = Options.MeasureLoad ? BusLoadMeter.Of(known[Buses.Count]) : null;
            Buses.Add(new BusTrack(Buses.Count, known[Buses.Count])
            {
                Load = meter,
                History = Options.KeepHistory && meter is not null ? new BinSeries<LoadBin>() : null,
            });
        }

        foreach (var bus in Buses)
        {
            var stale = ShortestStaleTimeOn(bus);
            bus.SilenceTime = stale > BusTrack.ShortestSilence ? stale : BusTrack.ShortestSilence;
            bus.PauseTime = stale > FrameSpan.Zero && stale < bus.SilenceTime ? stale : bus.SilenceTime;
        }

        if (wasOnly)
        {
            Rebind(Buses[0]);
        }
    }

    /// <summary>Takes in the usual frames at the beginning; none where more is to be measured of each than its track gathers.</summary>
    /// <returns>How many. The next one, if there is one, is to be taken by itself.</returns>
    public int AcceptUsual(ReadOnlySpan<Frame> frames)
    {
        if (Options.MeasureLoad || Options.KeepNumbers)
        {
            return 0;
        }

        var taken = UsualFrames.Accept(frames, CollectionsMarshal.AsSpan(Buses), table, gathering, tracks);
        Frames += taken;
        return taken;
    }

    /// <summary>The number of a frame's track, made when its identifier is met first; -1 when there is no room for a further one.</summary>
    public int Find(BusTrack bus, in Frame frame)
    {
        var found = table.Find(frame.Origin);
        return found >= 0 ? found : Add(bus, frame);
    }

    /// <summary>Takes a data frame in for a track.</summary>
    /// <param name="number">The track.</param>
    /// <param name="frame">The frame.</param>
    public void Accept(int number, in Frame frame)
    {
        if (gathering.TryAdd(number, frame, Frames, out var isFull))
        {
            if (isFull)
            {
                tracks[number].Flush();
            }
        }
        else
        {
            tracks[number].Accept(frame, Frames);
        }

        if (hasConditions && tracks[number].IsWatched)
        {
            Conditions.Watch(tracks[number], frame);
        }
    }

    /// <summary>Time went on to this moment, with or without frames.</summary>
    public void Advance(FrameTime now)
    {
        Begin(now);
        advanced = now > advanced ? now : advanced;
        foreach (var bus in Buses)
        {
            bus.Load?.Advance(now);
        }
    }

    /// <summary>Time did not go on after the latest frame.</summary>
    public void TakeBack() => advanced = FrameTime.Never;

    /// <summary>Whether a bus is silent at a moment.</summary>
    public bool IsSilent(BusTrack bus, FrameTime now) => pauses.IsSilent(bus, bus.Recorded(now), StartOf(bus));

    /// <summary>Whether a bus would be silent, if its recording did not end before a moment. It does not say which.</summary>
    public bool EndsEarly(BusTrack bus, FrameTime now) =>
        bus.Recorded(now) < now && bus.Latest.IsKnown && !IsSilent(bus, now) && pauses.IsOfTheBus(bus, bus.Latest, now);

    /// <summary>When the session began for a bus: not before its recording did.</summary>
    public FrameTime StartOf(BusTrack bus) => bus.RecordedFrom is { } from && from > Start ? from : Start;

    /// <summary>A frame whose time is not simply a little later than its bus's latest: the first, one after a silence, or one earlier.</summary>
    public void StepTime(BusTrack bus, FrameTime time)
    {
        Begin(time);
        if (!bus.Latest.IsKnown)
        {
            bus.First = time;
            EndSilence(bus, StartOf(bus), time);
            bus.Latest = time;
        }
        else if (time > bus.Latest)
        {
            EndSilence(bus, bus.Latest, time);
            bus.Latest = time;
        }
        else if (bus.Latest - time > BusTrack.LargestDisorder)
        {
            RestartClock(bus, time);
        }
        else if (time < bus.Latest)
        {
            bus.StepBack(time);
        }
    }

    /// <summary>Works through all frames that were gathered.</summary>
    public void Flush()
    {
        foreach (var track in tracks)
        {
            track.Flush();
        }
    }

    // A bus may be slow by nature: its silence time is never shorter than the shortest time in which one of its messages goes stale.
    // Messages that may come on any bus count only where no message is known to be this one's.
    private FrameSpan ShortestStaleTimeOn(BusTrack bus)
    {
        var own = Messages.Where(message => Buses.Count == 1 || message.Definition.Bus == bus.Bus.Name).ToList();
        return (own.Count > 0 ? own : Messages.Where(Places.MayComeOnAny))
            .Select(message => message.Definition.Timing.StaleAfter)
            .OfType<FrameSpan>()
            .DefaultIfEmpty(FrameSpan.Zero)
            .Min();
    }

    private void Begin(FrameTime time)
    {
        Earliest = !Earliest.IsKnown || time < Earliest ? time : Earliest;
        if (Start.IsKnown)
        {
            return;
        }

        Start = time;
        foreach (var message in Messages)
        {
            if (!message.IsOff)
            {
                message.Unseen?.Begin(time);
            }
        }
    }

    private int Add(BusTrack bus, in Frame frame)
    {
        if (tracks.Count >= HealthMonitor.LargestTracks)
        {
            return -1;
        }

        var number = tracks.Count;
        var track = new MessageTrack(number, bus, frame.Id, gathering)
        {
            History = Options.KeepHistory && number < LargestHistories ? new BinSeries<GapBin>() : null,
        };
        table.Add(frame.Origin, number);
        tracks.Add(track);
        bus.Tracks.Add(track);
        if (Definition(bus, frame.Id) is { } message)
        {
            message.Add(track, frame.Time);
        }

        return number;
    }

    private DefinedMessage? Definition(BusTrack bus, CanId id) =>
        Messages.Count > 0 && Plan.Find(bus.Bus.Name, Buses.Count == 1, id) is var index and >= 0 ? Messages[index] : null;

    // As long as there was only one bus its name did not matter. Now it does.
    private void Rebind(BusTrack bus)
    {
        foreach (var track in bus.Tracks)
        {
            var message = Definition(bus, track.Id);
            if (message != track.Defined)
            {
                track.Defined?.Remove(track);
                track.Define(null, null);
                message?.Add(track, track.Last.IsKnown ? track.Last : Start);
            }
        }
    }

    private void EndSilence(BusTrack bus, FrameTime from, FrameTime until)
    {
        if (!pauses.IsOfTheBus(bus, from, until))
        {
            return;
        }

        bus.Silences.Add(from, until);
        bus.SilenceSeverity = Worst(bus.SilenceSeverity, Needs.SilenceOf(Places.ExpectedOn(bus)));
        foreach (var track in bus.Tracks)
        {
            track.Interrupt(from, until);
        }

        foreach (var message in Places.UnseenOn(bus))
        {
            message.Unseen!.Interrupt(from, until);
        }

        // What may come on any bus could not come only while all were silent, and no condition could be told.
        var latest = Buses.Max(other => other.Latest);
        var silentFrom = latest > from ? latest : from;
        if (until > silentFrom)
        {
            Flush();
            Conditions.Interrupt(silentFrom, until);
        }

        if (until - silentFrom > bus.SilenceTime)
        {
            foreach (var message in Places.UnseenOnAny())
            {
                message.Unseen!.Interrupt(silentFrom, until);
            }
        }
    }

    /// <summary>Until this moment nothing of a bus could be seen.</summary>
    public void Unseen(int bus, FrameTime now)
    {
        if (bus < Buses.Count)
        {
            (var seen, Buses[bus].Latest) = (Buses[bus].Latest, now);
            AwaitAnew(Buses[bus], now, seen.IsKnown ? seen : null);
        }
    }

    private void RestartClock(BusTrack bus, FrameTime time)
    {
        bus.ClockRestarts++;
        bus.Latest = time;
        advanced = FrameTime.Never;
        foreach (var other in Buses)
        {
            other.FramesAtRestart = other == bus ? -1 : other.Frames;
        }

        AwaitAnew(bus, time, null);
    }

    // What came before cannot be compared with what follows. It is judged by itself, on all buses: by when their conditions were told until now.
    private void AwaitAnew(BusTrack bus, FrameTime time, FrameTime? seen)
    {
        Flush();
        foreach (var track in bus.Tracks)
        {
            track.BreakGap();
            track.Expectation?.Restart(time, seen);
        }

        Conditions.Restart(bus.Tracks, time);
        foreach (var message in Places.UnseenOn(bus).Concat(Places.UnseenOnAny()))
        {
            message.Unseen!.Restart(time, seen);
        }
    }

    private FrameTime HeardUntil(DefinedMessage message, MessageTrack? track, FrameTime at) =>
        (track?.Bus ?? Places.TrackOf(message)) is { } bus ? pauses.HeardUntil(bus, at, Start) : at;

    private static FindingSeverity Worst(FindingSeverity left, FindingSeverity right) => left > right ? left : right;
}
