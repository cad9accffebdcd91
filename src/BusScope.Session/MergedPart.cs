using BusScope.Frames;

namespace BusScope.Session;

/// <summary>One of the sources that a <see cref="MergedSource"/> joins: what it still holds, and when it was recorded.</summary>
/// <param name="source">The source; disposed by its owner.</param>
internal sealed class MergedPart(IFrameSource source)
{
    // The buses as the source stated them when they were taken over.
    private readonly List<Bus> stated = [];

    // What a recording holds says nothing of the time before and after it. A live source goes on, unless the link to it broke inside a record.
    private (FrameTime? From, FrameTime? Latest) recorded;
    private bool isRestated;

    /// <summary>The source itself.</summary>
    public IFrameSource Source => source;

    /// <summary>Frames that were read and not given yet, from <see cref="Next"/> on.</summary>
    public FrameBatch Ahead { get; private set; } = new();

    /// <summary>The first of them.</summary>
    public int Next { get; set; }

    /// <summary>The index in the whole of each of its buses.</summary>
    public List<ushort> BusIndexes { get; } = [];

    /// <summary>Whether nothing comes of it any more.</summary>
    public bool HasEnded { get; private set; }

    /// <summary>Whether its frames come as they happen.</summary>
    public bool IsLive { get; } = source.Clock != SourceClock.Recorded;

    /// <summary>Whether it was live and nothing comes of it any more.</summary>
    public bool IsGone => IsLive && HasEnded;

    /// <summary>Whether all that was read was given.</summary>
    public bool IsEmpty => Next == Ahead.Count;

    /// <summary>When the first frame came that was not given yet.</summary>
    public FrameTime Head => Ahead.Frames[Next].Time;

    /// <summary>Its source gave frames, or had none any more.</summary>
    public void Read(CancellationToken cancellation) => Saw(source.Read(Ahead, cancellation));

    /// <summary>Nothing will come any more: its source failed.</summary>
    public void Fail()
    {
        Ahead.Clear();
        Saw(SourceState.Ended);
    }

    /// <summary>Adds the buses that were not known before, each under a name of its own.</summary>
    /// <param name="buses">The buses of all parts.</param>
    /// <param name="names">Their names.</param>
    public void TakeOverBuses(List<Bus> buses, HashSet<string> names)
    {
        Restate(buses);
        while (stated.Count < source.Buses.Count)
        {
            var bus = source.Buses[stated.Count];
            var name = bus.Name;
            for (var number = 2; !names.Add(name); number++)
            {
                name = $"{bus.Name}-{number}";
            }

            BusIndexes.Add((ushort)buses.Count);
            stated.Add(bus);
            buses.Add(Recorded(bus, name));
        }
    }

    /// <summary>Where it stands, its source being at a place.</summary>
    public MergedPartPlace At(SourcePlace place) => new(place, [.. Ahead.Frames[Next..]], Ahead.FirstNumber + Next, [.. BusIndexes], recorded);

    /// <summary>Begins there.</summary>
    public void BeginAt(MergedPartPlace begin)
    {
        source.BeginAt(begin.Place);
        BusIndexes.Clear();
        BusIndexes.AddRange(begin.BusIndexes);
        recorded = begin.Recorded;
        stated.Clear();
        stated.AddRange(source.Buses.Take(BusIndexes.Count));
        Next = 0;
        Ahead = new FrameBatch(begin.FirstNumber);
        foreach (ref readonly var frame in begin.Ahead.AsSpan())
        {
            Ahead.Add() = frame;
        }
    }

    private void Saw(SourceState state)
    {
        HasEnded = state == SourceState.Ended;
        isRestated |= HasEnded || (!IsLive && recorded.From is null && Ahead.Count > 0);
        if (Ahead.Count > 0)
        {
            recorded = (IsLive ? null : recorded.From ?? Ahead.Frames[0].Time, Ahead.Frames[^1].Time);
        }
    }

    // A later section of a recording can say more of a bus, and its end says until when it was recorded.
    private void Restate(List<Bus> buses)
    {
        for (var i = 0; i < stated.Count; i++)
        {
            if (source.Buses[i] is var bus && (isRestated || !ReferenceEquals(stated[i], bus)))
            {
                stated[i] = bus;
                buses[BusIndexes[i]] = Recorded(bus, buses[BusIndexes[i]].Name);
            }
        }

        isRestated = false;
    }

    private Bus Recorded(Bus bus, string name) =>
        bus with { Name = name, RecordedFrom = recorded.From, RecordedUntil = HasEnded && (!IsLive || RecordingCut.IsInside(source)) ? recorded.Latest : null };
}

/// <summary>Where a part stands between two readings.</summary>
/// <param name="Place">Where its source stands.</param>
/// <param name="Ahead">What was read and not given yet.</param>
/// <param name="FirstNumber">The number of the first of these frames in the source.</param>
/// <param name="BusIndexes">The index in the whole of each of its buses.</param>
/// <param name="Recorded">When its first and its latest frame came.</param>
internal sealed record MergedPartPlace(SourcePlace Place, Frame[] Ahead, long FirstNumber, ushort[] BusIndexes, (FrameTime? From, FrameTime? Latest) Recorded);
