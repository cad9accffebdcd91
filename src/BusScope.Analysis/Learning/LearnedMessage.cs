using BusScope.Analysis.Learning.Checksums;
using BusScope.Analysis.Learning.Conditions;
using BusScope.Analysis.Learning.Counters;
using BusScope.Analysis.Learning.Payloads;
using BusScope.Analysis.Learning.Timing;
using BusScope.Frames;
using BusScope.Signals.Definitions;

namespace BusScope.Analysis.Learning;

/// <summary>What was learned of one identifier on one bus.</summary>
/// <param name="Bus">The name of the bus.</param>
/// <param name="Id">The identifier.</param>
/// <param name="Timing">When it is sent.</param>
public sealed record LearnedMessage(string Bus, CanId Id, LearnedTiming Timing)
{
    /// <summary>Frames it was learned from.</summary>
    public required long Frames { get; init; }

    /// <summary>The length that most frames had, in bytes.</summary>
    public required int Length { get; init; }

    /// <summary>Frames of another length.</summary>
    public required long OtherLengths { get; init; }

    /// <summary>When it was there; null for a message without a period.</summary>
    public Attendance? Attendance { get; init; }

    /// <summary>The state of the car on which it depends, or null.</summary>
    public LearnedCondition? Condition { get; init; }

    /// <summary>Whether it is expected at its period: always, or while its condition holds.</summary>
    public bool IsExpected => Timing.Period is not null && (Attendance is null or { IsWhole: true } || Condition is not null);

    /// <summary>Its alive counter, or null.</summary>
    public FoundCounter? Counter { get; init; }

    /// <summary>Further counters: copies, complements, mirrors.</summary>
    public IReadOnlyList<FoundCounter> FurtherCounters { get; init; } = [];

    /// <summary>Its checksum, or a field that behaves like one; null where neither was seen.</summary>
    public FoundChecksum? Checksum { get; init; }

    /// <summary>Bytes that repeat an earlier one.</summary>
    public IReadOnlyList<ByteCopy> Copies { get; init; } = [];

    /// <summary>The field that selects one of several layouts, or null.</summary>
    public FoundSelector? Selector { get; init; }

    /// <summary>For each payload byte, the bits that ever changed.</summary>
    public ReadOnlyMemory<byte> ChangedBits { get; init; }

    /// <summary>For each payload byte, the bits of which one at least changes all the time, counters and checksum aside; empty where nothing can be said of it.</summary>
    public ReadOnlyMemory<byte> Lives { get; init; }

    /// <summary>The part of the payload that never changed; null where all did, or too few frames came to say.</summary>
    public ConstantPayload? Constant { get; init; }

    /// <summary>In how many stretches of <see cref="LifeStudy.Stretch"/> frames one of these bits changed.</summary>
    public int LivesSeen { get; init; }
}
