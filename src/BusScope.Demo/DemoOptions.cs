namespace BusScope.Demo;

/// <summary>How a story is told.</summary>
public sealed record DemoOptions
{
    /// <summary>What all chance in the story hangs on: the same seed gives the same frames, byte for byte.</summary>
    public ulong Seed { get; init; } = 24;

    /// <summary>Whether a drive begins again at its end and never stops; stories without a drive end all the same.</summary>
    public bool IsEndless { get; init; }

    /// <summary>Frames before this many seconds of the story are left out.</summary>
    public double From { get; init; }

    /// <summary>The story is cut off after this many seconds; null for its whole length.</summary>
    public double? To { get; init; }
}
