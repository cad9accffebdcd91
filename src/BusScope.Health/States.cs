namespace BusScope.Health;

/// <summary>The state of a message that is expected (docs/health.md).</summary>
public enum MessageState
{
    /// <summary>Not seen yet, within the grace time.</summary>
    Awaited,

    /// <summary>On time.</summary>
    Fresh,

    /// <summary>Overdue, but not yet stale.</summary>
    Late,

    /// <summary>Seen before, silent beyond its stale time.</summary>
    Stale,

    /// <summary>Never seen after the grace time.</summary>
    Missing,

    /// <summary>Its <c>while</c> condition does not hold, or has not been seen to: nothing is expected at the moment.</summary>
    Idle,
}

/// <summary>The answer of a check.</summary>
public enum Verdict
{
    /// <summary>Everything that is expected arrives as expected.</summary>
    Go,

    /// <summary>Something that is needed does not arrive as expected.</summary>
    NoGo,

    /// <summary>The frames do not suffice to say so.</summary>
    Inconclusive,
}

/// <summary>How much a finding weighs.</summary>
public enum FindingSeverity
{
    /// <summary>Worth knowing; changes no verdict.</summary>
    Note,

    /// <summary>Not as defined, but nobody is starved by it.</summary>
    Warning,

    /// <summary>A module does not get what it lives on.</summary>
    Fault,
}
