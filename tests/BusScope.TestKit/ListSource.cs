using BusScope.Frames;
using BusScope.Frames.Diagnostics;

namespace BusScope.TestKit;

/// <summary>A source that gives frames from a list.</summary>
public sealed class ListSource(IReadOnlyList<Bus> buses, IReadOnlyList<Frame> frames, int largestBatch = FrameBatch.Capacity, bool saysPlaces = false) : IFrameSource
{
    private int next;

    /// <inheritdoc/>
    public string Name => "list";

    /// <inheritdoc/>
    public IReadOnlyList<Bus> Buses => buses;

    /// <inheritdoc/>
    public ProblemLog Problems { get; } = new();

    /// <inheritdoc/>
    public double? Progress => frames.Count == 0 ? 1 : next / (double)frames.Count;

    /// <inheritdoc/>
    public SourceClock Clock { get; init; }

    /// <inheritdoc/>
    public SourceState Read(FrameBatch batch, CancellationToken cancellation)
    {
        batch.Clear();
        while (next < frames.Count && batch.Count < largestBatch)
        {
            batch.Add() = frames[next++];
        }

        return batch.Count == 0 ? SourceState.Ended : SourceState.Frames;
    }

    /// <inheritdoc/>
    public SourcePlace? Place() => saysPlaces ? new ListPlace(next) : null;

    /// <inheritdoc/>
    public void BeginAt(SourcePlace place) => next = ((ListPlace)place).Next;

    /// <inheritdoc/>
    public void Dispose()
    {
    }

    private sealed record ListPlace(int Next) : SourcePlace;
}
