using BusScope.Frames;

namespace BusScope.Health.History;

/// <summary>What happened, in order of time, in bins of one width: enough to draw a whole recording, however long it is.</summary>
/// <typeparam name="TBin">What is kept of each stretch of time.</typeparam>
/// <param name="Start">When the first bin begins.</param>
/// <param name="Width">How long each bin is.</param>
/// <param name="Bins">One after the other, those without a frame included; at most 512.</param>
public sealed record TimeBins<TBin>(FrameTime Start, FrameSpan Width, IReadOnlyList<TBin> Bins)
    where TBin : struct
{
    /// <summary>When a bin begins.</summary>
    public FrameTime StartOf(int bin) => new(Start.Nanoseconds + (bin * Width.Nanoseconds));
}

/// <summary>A bin that can take in a later one.</summary>
/// <typeparam name="TBin">The bin itself.</typeparam>
public interface ITimeBin<TBin>
    where TBin : struct
{
    /// <summary>Takes in what happened in the bin just behind this one.</summary>
    void Absorb(in TBin later);
}
