using BusScope.Frames.Diagnostics;
using BusScope.Signals.Expressions;

namespace BusScope.Signals.Definitions;

/// <summary>A bus as the definitions know it.</summary>
public sealed record BusDefinition
{
    /// <summary>Its name; frames are matched to it by the name of their bus.</summary>
    public required string Name { get; init; }

    /// <summary>Bits per second of the arbitration phase, or null.</summary>
    public long? BitRate { get; init; }

    /// <summary>Bits per second of the CAN FD data phase, or null.</summary>
    public long? DataBitRate { get; init; }

    /// <summary>A title for a person, or null.</summary>
    public string? Title { get; init; }

    /// <summary>Where the definition stands.</summary>
    public TextPlace Place { get; init; }
}

/// <summary>A control unit of the car.</summary>
public sealed record ModuleDefinition
{
    /// <summary>Its name.</summary>
    public required string Name { get; init; }

    /// <summary>A title for a person; the name where none is given.</summary>
    public string Title => GivenTitle ?? Name;

    /// <summary>The title as written, or null.</summary>
    public string? GivenTitle { get; init; }

    /// <summary>The name of the message that proves that the module itself runs, or null.</summary>
    public string? Alive { get; init; }

    /// <summary>Where the definition stands.</summary>
    public TextPlace Place { get; init; }
}

/// <summary>A signal computed from others.</summary>
/// <param name="Name">Its name.</param>
/// <param name="Expression">How it is computed.</param>
/// <param name="Unit">Its unit, or null.</param>
/// <param name="Place">Where the definition stands.</param>
public sealed record ComputedDefinition(string Name, Expression Expression, string? Unit, TextPlace Place);

/// <summary>One step of a sequence.</summary>
/// <param name="Expect">What must become true.</param>
/// <param name="Within">Within which time after the step before.</param>
public sealed record SequenceStep(Expression Expect, Frames.FrameSpan Within);

/// <summary>A sequence of events that must follow one another, such as a start.</summary>
/// <param name="Name">Its name.</param>
/// <param name="Begins">It starts when this becomes true.</param>
/// <param name="Steps">In order.</param>
/// <param name="Throughout">What must hold all the time.</param>
/// <param name="Place">Where the definition stands.</param>
public sealed record SequenceDefinition(string Name, Expression Begins, IReadOnlyList<SequenceStep> Steps, IReadOnlyList<Expression> Throughout, TextPlace Place);

/// <summary>A value carried from one bus to another by the translator.</summary>
/// <param name="Name">Its name.</param>
/// <param name="From">The signal it comes from.</param>
/// <param name="To">The signal it comes out at.</param>
/// <param name="LargestDelay">The longest delay allowed, or null.</param>
/// <param name="Tolerance">The largest difference allowed in units of the target, or null.</param>
/// <param name="Place">Where the definition stands.</param>
public sealed record RelayDefinition(string Name, string From, string To, Frames.FrameSpan? LargestDelay, double? Tolerance, TextPlace Place);

/// <summary>All that one or several definition files say, checked as a whole and frozen.</summary>
public sealed record DefinitionSet
{
    /// <summary>The title of the first file that has one, or null.</summary>
    public string? Title { get; init; }

    /// <summary>In the order of the files.</summary>
    public IReadOnlyList<BusDefinition> Buses { get; init; } = [];

    /// <summary>In the order of the files.</summary>
    public IReadOnlyList<ModuleDefinition> Modules { get; init; } = [];

    /// <summary>In the order of the files.</summary>
    public IReadOnlyList<MessageDefinition> Messages { get; init; } = [];

    /// <summary>In the order of the files.</summary>
    public IReadOnlyList<ComputedDefinition> Computed { get; init; } = [];

    /// <summary>In the order of the files.</summary>
    public IReadOnlyList<SequenceDefinition> Sequences { get; init; } = [];

    /// <summary>In the order of the files.</summary>
    public IReadOnlyList<RelayDefinition> Relays { get; init; } = [];

    /// <summary>A set that defines nothing.</summary>
    public static DefinitionSet Empty { get; } = new();
}
