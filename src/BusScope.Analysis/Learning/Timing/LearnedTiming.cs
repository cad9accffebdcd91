using BusScope.Frames;

namespace BusScope.Analysis.Learning.Timing;

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

/// <summary>The gaps as they were measured.</summary>
/// <param name="Median">Half of them are shorter.</param>
/// <param name="P05">5 % are shorter.</param>
/// <param name="P95">95 % are shorter.</param>
/// <param name="P99">1 % are longer.</param>
/// <param name="Longest">The longest one that is not a silence.</param>
/// <param name="Count">How many.</param>
public sealed record MeasuredGaps(FrameSpan Median, FrameSpan P05, FrameSpan P95, FrameSpan P99, FrameSpan Longest, long Count);

/// <summary>What was learned of when an identifier is sent.</summary>
/// <param name="Kind">In which way.</param>
public sealed record LearnedTiming(SendingKind Kind)
{
    /// <summary>The period a designer would have chosen; null where there is none.</summary>
    public FrameSpan? Period { get; init; }

    /// <summary>Frames in each period: more than one where they come in groups, or from two senders.</summary>
    public int Group { get; init; } = 1;

    /// <summary>The gaps as measured; null with fewer than two frames.</summary>
    public MeasuredGaps? Measured { get; init; }

    /// <summary>Silence beyond this is late: as the loader chooses it from the period, or wider where the spread needs more.</summary>
    public FrameSpan LateAfter { get; init; }

    /// <summary>Silence beyond this is stale: as the loader chooses it from the period, or wider where the spread needs more.</summary>
    public FrameSpan StaleAfter { get; init; }

    /// <summary>Whether <see cref="LateAfter"/> differs from what the loader would choose.</summary>
    public bool IsLateWidened { get; init; }

    /// <summary>Whether <see cref="StaleAfter"/> differs from what the loader would choose.</summary>
    public bool IsStaleWidened { get; init; }

    /// <summary>Whether both times are to be written though they are the loader's choice, since the file has another one for messages that do not say.</summary>
    public bool IsBesideDefaults { get; init; }

    /// <summary>What the stale time was widened for: how late the end of its condition is told. Zero where that takes no more than it was.</summary>
    public FrameSpan Delay { get; init; }

    /// <summary>
    /// The same with a stale time that outlasts the wait for the end of its condition to be told: what ended with it is stale no sooner. Once it is told, what
    /// is judged ends with the frame that told otherwise.
    /// </summary>
    public LearnedTiming AllowingFor(FrameSpan delay) => LateAfter + delay is var needed && needed > StaleAfter
        ? this with { StaleAfter = ExpectedTiming.Rounded(needed), IsStaleWidened = true, Delay = delay }
        : this;
}
