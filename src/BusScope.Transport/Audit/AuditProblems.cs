using BusScope.Frames.Diagnostics;

namespace BusScope.Transport.Audit;

/// <summary>What can be wrong with frames and their times, whatever file they come from. Each code is explained in docs/captures-problems.md.</summary>
public static class AuditProblems
{
    /// <summary>An 11-bit identifier above 0x7FF.</summary>
    public static ProblemKind IdTooLarge { get; } = new("frame-id-too-large", "an 11-bit identifier is larger than 0x7FF");

    /// <summary>A frame earlier than the one before on its bus, by at most a second.</summary>
    public static ProblemKind TimeStepsBack { get; } = new("time-steps-back", "a frame has an earlier time than the one before on its bus");

    /// <summary>The clock of the recording was started anew.</summary>
    public static ProblemKind ClockRestarts { get; } = new("clock-restarts", "the clock of the recording falls back by more than a second");

    /// <summary>The clock of the recording falls back by a minute, again and again.</summary>
    public static ProblemKind ClockWraps { get; } = new("clock-wraps-each-minute", "the clock of the recording falls back to zero each minute");

    /// <summary>Rows left from earlier stand in front of the recording.</summary>
    public static ProblemKind StaleFrames { get; } = new("stale-frames", "frames at the start have later times than the recording that follows");

    /// <summary>A time below zero.</summary>
    public static ProblemKind TimeBelowZero { get; } = new("time-below-zero", "a frame has a time below zero");

    /// <summary>Each bus is in order, but the buses are not in order with each other.</summary>
    public static ProblemKind BusesInterleaved { get; } = new("buses-interleaved", "a frame is earlier than the one before, which is of another bus");

    /// <summary>Every kind that only the audit finds; it shares those of impossible lengths and flags with the readers.</summary>
    public static IReadOnlyList<ProblemKind> All { get; } = [IdTooLarge, TimeStepsBack, ClockRestarts, ClockWraps, StaleFrames, TimeBelowZero, BusesInterleaved];
}
