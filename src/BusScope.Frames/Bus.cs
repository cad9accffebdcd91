using BusScope.Frames.Diagnostics;

namespace BusScope.Frames;

/// <summary>One physical network, by name, as its source describes it.</summary>
/// <param name="Name">Unique within the source; never empty.</param>
public sealed record Bus(string Name)
{
    /// <summary>Unique within the source; never empty. Clean, so that it is the same on every screen and in every file, and a definition file can say it.</summary>
    public string Name { get; init => field = CleanText.Clean(value); } = CleanText.Clean(Name);

    /// <summary>Bits per second of the arbitration phase, where the source knows it.</summary>
    public long? BitRate { get; init; }

    /// <summary>Bits per second of the CAN FD data phase, where the source knows it.</summary>
    public long? DataBitRate { get; init; }

    /// <summary>The source's own description of the adapter.</summary>
    public string? Description { get; init; }

    /// <summary>When its recording began, where that is one of several that are read as one; null for all else.</summary>
    public FrameTime? RecordedFrom { get; init; }

    /// <summary>When that recording ended; null while it goes on.</summary>
    public FrameTime? RecordedUntil { get; init; }

    /// <summary>Comments of the recording on this bus.</summary>
    public IReadOnlyList<string> Comments { get; init; } = [];
}
