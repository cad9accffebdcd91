using BusScope.Frames;

namespace BusScope.Analysis.Learning;

/// <summary>When an identifier is sent.</summary>
public enum SendingKind
{
    /// <summary>At a steady period.</summary>
    Periodic,

    /// <summary>When something happens, or too seldom to tell.</summary>
    Event,

    /// <summary>At a steady period, and in between when something changes.</summary>
    Mixed,
}

/// <summary>What was learned of one identifier on one bus.</summary>
/// <param name="Bus">The name of the bus.</param>
/// <param name="Id">The identifier.</param>
/// <param name="Kind">When it is sent.</param>
public sealed record LearnedMessage(string Bus, CanId Id, SendingKind Kind)
{
    /// <summary>Frames it was learned from.</summary>
    public required long Frames { get; init; }

    /// <summary>The usual payload length.</summary>
    public required int Length { get; init; }

    /// <summary>Whether other lengths came as well.</summary>
    public required bool LengthVaries { get; init; }

    /// <summary>The period a designer would have chosen; null for event-driven messages.</summary>
    public FrameSpan? Period { get; init; }

    /// <summary>The measured median, 5 % and 95 % gaps and the longest one; null with fewer than two frames.</summary>
    public (FrameSpan Median, FrameSpan P05, FrameSpan P95, FrameSpan Longest)? Measured { get; init; }

    /// <summary>Its alive counter, or null.</summary>
    public FoundCounter? Counter { get; init; }

    /// <summary>Further counters: copies, complements, mirrors.</summary>
    public IReadOnlyList<FoundCounter> FurtherCounters { get; init; } = [];

    /// <summary>Its checksum, or a field that behaves like one; null where neither was seen.</summary>
    public FoundChecksum? Checksum { get; init; }

    /// <summary>For each payload byte, the bits that ever changed.</summary>
    public ReadOnlyMemory<byte> ChangedBits { get; init; }
}
