using BusScope.Frames;
using BusScope.Frames.Diagnostics;

namespace BusScope.Session;

/// <summary>
/// Several sources as one: the buses of all, their frames in order of time. Frames of one source keep their order. A source
/// that fails ends alone; when all have ended, the first failure is told. A source with nothing to say holds no other back.
/// </summary>
public sealed class MergedSource : IFrameSource
{
    /// <summary>One of several sources failed and the others went on.</summary>
    public static readonly ProblemKind SourceFailed = new("source-failed", "one of several sources failed and the others went on");

    private static readonly CancellationToken WithoutWaiting = new(canceled: true);
    private readonly MergedPart[] parts;
    private readonly List<Bus> buses = [];
    private readonly HashSet<string> names = new(StringComparer.Ordinal);
    private readonly ProblemLog own = new();
    private SourceException? failure;
    private int turn;

    /// <summary>Joins sources; they are disposed with this one.</summary>
    public MergedSource(IReadOnlyList<IFrameSource> sources)
    {
        ArgumentNullException.ThrowIfNull(sources);
        parts = [.. sources.Select(source => new MergedPart(source))];
        Name = string.Join(" + ", sources.Select(source => source.Name));
        TakeOverBuses();
    }

    /// <inheritdoc/>
    public string Name { get; }

    /// <summary>The buses of all sources in the order in which they were met; of equal names the later ones are numbered.</summary>
    public IReadOnlyList<Bus> Buses => buses;

    /// <summary>The problems of all sources together, as they stand now.</summary>
    public ProblemLog Problems => ProblemCopies.Of([own, .. parts.Select(part => part.Source.Problems)]);

    /// <summary>The comments of all sources, as far as they are known now.</summary>
    public IReadOnlyList<string> Comments => [.. parts.SelectMany(part => part.Source.Comments)];

    /// <summary>The mean of all, or null where one does not know.</summary>
    public double? Progress
    {
        get
        {
            double sum = 0;
            foreach (var part in parts)
            {
                sum += part.HasEnded ? 1 : part.Source.Progress ?? double.NaN;
            }

            return double.IsNaN(sum) ? null : sum / parts.Length;
        }
    }

    /// <summary>Live as soon as one of them is, for its time goes on without the others; ours only where all live ones are.</summary>
    public SourceClock Clock =>
        Array.Exists(parts, part => part.Source.Clock == SourceClock.Theirs) ? SourceClock.Theirs
        : Array.Exists(parts, part => part.Source.Clock == SourceClock.Ours) ? SourceClock.Ours
        : SourceClock.Recorded;

    /// <summary>What the adapter of a bus says; a live source that has ended while others go on is gone.</summary>
    /// <inheritdoc/>
    public ControllerStatus? StatusOf(int bus) => PartOf(bus, out var index) is not { } part ? null
        : part.Source.StatusOf(index) is var status && part.IsGone ? (status ?? new ControllerStatus(ControllerState.Unknown)) with { State = ControllerState.Gone }
        : status;

    /// <inheritdoc/>
    public ControllerState? StateOf(int bus) => PartOf(bus, out var index) is not { } part ? null
        : part.IsGone ? ControllerState.Gone
        : part.Source.StateOf(index);

    /// <inheritdoc/>
    public SourceState Read(FrameBatch batch, CancellationToken cancellation)
    {
        ArgumentNullException.ThrowIfNull(batch);
        batch.Clear();
        foreach (var part in parts)
        {
            Fill(part, part.IsLive ? WithoutWaiting : cancellation);
        }

        // Only when none has anything one may wait for more, each in its turn: who waits for a quiet one must not starve the others.
        if (Earliest() is null && !cancellation.IsCancellationRequested)
        {
            turn = (turn + 1) % parts.Length;
            Fill(parts[turn], cancellation);
        }

        TakeOverBuses();
        while (!batch.IsFull && Earliest() is { } part)
        {
            ref var frame = ref batch.Add();
            frame = part.Ahead.Frames[part.Next++];
            frame.Bus = part.BusIndexes[frame.Bus];

            // The next frame of an emptied part may be the earliest of all: stop and fill it first.
            if (part.IsEmpty)
            {
                break;
            }
        }

        return batch.Count > 0 ? SourceState.Frames
            : !Array.TrueForAll(parts, part => part.HasEnded) ? SourceState.Idle
            : failure is null ? SourceState.Ended
            : throw failure;
    }

    /// <summary>Only where all of them can say, and none has failed.</summary>
    /// <inheritdoc/>
    public SourcePlace? Place()
    {
        var places = Array.ConvertAll(parts, part => part.Source.Place());
        return failure is not null || places.Contains(null) ? null
            : new MergedPlace([.. parts.Zip(places, (part, place) => part.At(place!))], [.. buses], ProblemCopies.Of([own]), turn);
    }

    /// <inheritdoc/>
    public void BeginAt(SourcePlace place)
    {
        var begin = (MergedPlace)place;
        buses.Clear();
        buses.AddRange(begin.Buses);
        names.Clear();
        names.UnionWith(begin.Buses.Select(bus => bus.Name));
        own.Add(begin.Problems);
        turn = begin.Turn;
        for (var i = 0; i < parts.Length; i++)
        {
            parts[i].BeginAt(begin.Parts[i]);
        }
    }

    /// <inheritdoc/>
    public void Dispose()
    {
        foreach (var part in parts)
        {
            part.Source.Dispose();
        }
    }

    private void Fill(MergedPart part, CancellationToken cancellation)
    {
        if (!part.IsEmpty || part.HasEnded)
        {
            return;
        }

        part.Next = 0;
        try
        {
            part.Read(cancellation);
        }
        catch (SourceException e)
        {
            part.Fail();
            failure ??= e;
            own.Add(SourceFailed, default, e.Message);
        }
    }

    private MergedPart? PartOf(int bus, out int index)
    {
        foreach (var part in parts)
        {
            index = part.BusIndexes.IndexOf((ushort)bus);
            if (index >= 0)
            {
                return part;
            }
        }

        index = -1;
        return null;
    }

    private MergedPart? Earliest()
    {
        MergedPart? earliest = null;
        foreach (var part in parts)
        {
            if (!part.IsEmpty && (earliest is null || part.Head < earliest.Head))
            {
                earliest = part;
            }
        }

        return earliest;
    }

    private void TakeOverBuses()
    {
        foreach (var part in parts)
        {
            part.TakeOverBuses(buses, names);
        }
    }

    private sealed record MergedPlace(MergedPartPlace[] Parts, Bus[] Buses, ProblemLog Problems, int Turn) : SourcePlace;
}
