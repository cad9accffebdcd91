using BusScope.Frames;
using BusScope.Frames.Diagnostics;
using BusScope.Health;
using BusScope.Session.Readings;
using BusScope.Session.Replay;
using BusScope.Signals.Plans;

namespace BusScope.Session;

/// <summary>What a person can see of a session at one moment. Immutable: made by the session's thread, read by the screen's.</summary>
/// <param name="Health">States, figures and findings so far.</param>
/// <param name="Plan">The definitions that states and findings go by.</param>
public sealed record SessionSnapshot(HealthReport Health, DefinitionPlan Plan)
{
    /// <summary>The definitions with the signals that were defined since the start; null where none was.</summary>
    public DefinitionPlan? Widened { get; init; }

    /// <summary>By what payloads are decoded.</summary>
    public DefinitionPlan Decoding => Widened ?? Plan;

    /// <summary>Counts up with every snapshot.</summary>
    public long Number { get; init; }

    /// <summary>What a person calls the source.</summary>
    public string Source { get; init; } = "";

    /// <summary>How far a capture has been replayed, 0 to 1, or null for a live source.</summary>
    public double? Progress { get; init; }

    /// <summary>Whether the session stands still.</summary>
    public bool IsPaused { get; init; }

    /// <summary>Recorded seconds a second, infinite for as fast as possible; null for a live source.</summary>
    public double? Speed { get; init; }

    /// <summary>Whether no frame will come any more.</summary>
    public bool HasEnded { get; init; }

    /// <summary>Why the source failed, or null.</summary>
    public string? Failure { get; init; }

    /// <summary>The buses of the source, whether a frame has come from them or not.</summary>
    public IReadOnlyList<Bus> Buses { get; init; } = [];

    /// <summary>Whether what is seen is recorded at the same time, and marks with it.</summary>
    public bool IsRecorded { get; init; }

    /// <summary>What the adapters say about themselves, in the order of <see cref="Buses"/>; null for a bus without one.</summary>
    public IReadOnlyList<ControllerStatus?> Controllers { get; init; } = [];

    /// <summary>What was wrong with the source's data so far.</summary>
    public IReadOnlyList<Problem> Problems { get; init; } = [];

    /// <summary>The latest events and the marks up to now, oldest first, at most 1,000 of each.</summary>
    public IReadOnlyList<SessionEvent> Events { get; init; } = [];

    /// <summary>All marks in order of time, in a recording also those ahead.</summary>
    public IReadOnlyList<SessionEvent> Marks { get; init; } = [];

    /// <summary>What is known of the whole recording; null for a live source, or where it cannot be read twice.</summary>
    public RecordingSurvey? Survey { get; init; }

    /// <summary>Which part of the recording goes round and round, or null.</summary>
    public ReplayLoop? Loop { get; init; }

    /// <summary>Where the replay is going to, as soon as the recording was read that far; null where it is there.</summary>
    public FrameTime? GoingTo { get; init; }

    /// <summary>Why the last jump failed, or null.</summary>
    public string? JumpFailure { get; init; }

    /// <summary>What the signals said that the screen asked for; those that were not met are left out.</summary>
    public IReadOnlyList<SignalReading> Readings { get; init; } = [];

    /// <summary>What more is known of the message that the screen asked for; null where it asked for none.</summary>
    public MessageReading? Message { get; init; }
}

/// <summary>Something that went wrong, recovered, appeared or disappeared.</summary>
/// <param name="At">When, in the source's time.</param>
/// <param name="Text">One sentence.</param>
/// <param name="Severity">How much it weighs.</param>
public sealed record SessionEvent(FrameTime At, string Text, FindingSeverity Severity)
{
    /// <summary>The module it is about, by name, or null.</summary>
    public string? Module { get; init; }

    /// <summary>The bus it is about, or the bus of the message it is about, or null.</summary>
    public string? Bus { get; init; }

    /// <summary>The index of the definition of the message it is about, or -1.</summary>
    public int DefinitionIndex { get; init; } = -1;

    /// <summary>The identifier of the message it is about, or null.</summary>
    public CanId? Id { get; init; }

    /// <summary>Whether a person set it.</summary>
    public bool IsMark { get; init; }

    /// <summary>A finding as an event: with its sentence, at the moment since when it is so, about the message, the module or the bus that it is about.</summary>
    /// <param name="finding">The finding.</param>
    /// <param name="report">Where its message is looked up; its moment stands for that of a finding without one.</param>
    public static SessionEvent Of(Finding finding, HealthReport report)
    {
        ArgumentNullException.ThrowIfNull(finding);
        ArgumentNullException.ThrowIfNull(report);
        var message = report.Messages.FirstOrDefault(message => finding.IsAbout(message));
        return new SessionEvent(finding.At ?? report.Now ?? FrameTime.Never, finding.Text, finding.Severity)
        {
            Bus = message?.Bus ?? finding.Bus,
            Module = message is null && finding.Modules is [var only] ? only : null,
            DefinitionIndex = message?.DefinitionIndex ?? -1,
            Id = message?.Id,
        };
    }
}
