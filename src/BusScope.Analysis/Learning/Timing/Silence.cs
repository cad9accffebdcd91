using BusScope.Frames;

namespace BusScope.Analysis.Learning.Timing;

/// <summary>A stretch of time without frames, between one frame and the next.</summary>
/// <param name="From">The last frame before it.</param>
/// <param name="Until">The first frame after it.</param>
public readonly record struct Silence(FrameTime From, FrameTime Until)
{
    /// <summary>How long it lasted.</summary>
    public FrameSpan Length => Until - From;
}
