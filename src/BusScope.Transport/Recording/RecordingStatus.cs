namespace BusScope.Transport.Recording;

/// <summary>How a recording stands at one moment. Immutable: made by the recording's thread, read by any.</summary>
/// <param name="Path">The file that is being written.</param>
public sealed record RecordingStatus(string Path)
{
    /// <summary>Whether it still waits for its trigger.</summary>
    public bool IsWaiting { get; init; }

    /// <summary>Whether it has its whole length: what comes later is not recorded.</summary>
    public bool IsOver { get; init; }

    /// <summary>Frames recorded, in all files.</summary>
    public long Frames { get; init; }

    /// <summary>Bytes recorded, in all files, those that made room included.</summary>
    public long Bytes { get; init; }

    /// <summary>Files begun.</summary>
    public int Files { get; init; }

    /// <summary>Files that made room for later ones.</summary>
    public int Removed { get; init; }

    /// <summary>Frames that the sources say they lost while it was recorded.</summary>
    public long Lost { get; init; }

    /// <summary>How often reading had to wait because the disk could not keep up. Frames then wait in the adapter's buffer.</summary>
    public long Waits { get; init; }

    /// <summary>Frames from before the trigger that had no room in memory.</summary>
    public long NoRoomBefore { get; init; }

    /// <summary>Why it ended early, in one sentence; or null.</summary>
    public string? Failure { get; init; }
}
