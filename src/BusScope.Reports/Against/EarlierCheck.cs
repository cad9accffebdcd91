using BusScope.Health;
using BusScope.Signals.Definitions;

namespace BusScope.Reports.Against;

/// <summary>The result of an earlier check, as its machine-readable form tells it.</summary>
/// <param name="Name">The file as a person named it.</param>
/// <param name="Verdict">Its verdict.</param>
public sealed record EarlierCheck(string Name, Verdict Verdict)
{
    /// <summary>The most bytes that a result may have: hundreds of messages take some hundred kilobytes.</summary>
    public const int LargestFile = 64 << 20;

    /// <summary>What was checked, or null.</summary>
    public string? Source { get; init; }

    /// <summary>Against what, or null.</summary>
    public string? Definitions { get; init; }

    /// <summary>How much time its frames cover, in seconds, or null where it does not tell.</summary>
    public double? Seconds { get; init; }

    /// <summary>Its modules, in its order.</summary>
    public IReadOnlyList<EarlierModule> Modules { get; init; } = [];

    /// <summary>The messages of its definitions, or null where it does not list them.</summary>
    public IReadOnlyList<EarlierMessage>? Messages { get; init; }

    /// <summary>Its findings, in its order.</summary>
    public IReadOnlyList<EarlierFinding> Findings { get; init; } = [];
}

/// <summary>A module of an earlier check.</summary>
/// <param name="Name">Its name.</param>
/// <param name="Title">Its title.</param>
/// <param name="Verdict">Its verdict.</param>
public sealed record EarlierModule(string Name, string Title, Verdict Verdict);

/// <summary>What an earlier check asked of a message, as far as its result tells.</summary>
/// <param name="Name">Its name.</param>
/// <param name="Every">Its period in milliseconds, or null.</param>
/// <param name="HasCounter">Whether a counter was demanded.</param>
/// <param name="HasChecksum">Whether a checksum was.</param>
public sealed record EarlierMessage(string Name, double? Every, bool HasCounter, bool HasChecksum)
{
    /// <summary>What a definition asks.</summary>
    internal static EarlierMessage Of(MessageDefinition definition) =>
        new(definition.Name, definition.Timing.Every?.Milliseconds, definition.Counter is not null, definition.Checksum is not null);
}

/// <summary>A finding of an earlier check.</summary>
/// <param name="Subject">What it was about.</param>
/// <param name="Severity">How much it weighed.</param>
/// <param name="Text">Its sentence.</param>
/// <param name="Count">How often, or null where it does not tell.</param>
public sealed record EarlierFinding(FindingSubject Subject, FindingSeverity Severity, string Text, long? Count = null);

/// <summary>
/// What a finding is about. Two checks found the same when these are the same: how often and when may differ from one minute
/// to the next.
/// </summary>
/// <param name="Code">What was found.</param>
/// <param name="Bus">On which bus, or null.</param>
/// <param name="Message">In which message, or null.</param>
/// <param name="Signal">In which signal, or null.</param>
/// <param name="Module">Of which module, where it is about a module alone; null otherwise.</param>
public readonly record struct FindingSubject(string Code, string? Bus, string? Message, string? Signal, string? Module)
{
    /// <summary>The subject of a finding.</summary>
    public static FindingSubject Of(Finding finding)
    {
        ArgumentNullException.ThrowIfNull(finding);
        return Of(finding.Code, finding.Bus, finding.Message, finding.Signal, finding.Modules);
    }

    /// <summary>The subject of a finding told by its parts.</summary>
    internal static FindingSubject Of(string code, string? bus, string? message, string? signal, IReadOnlyList<string> modules) =>
        new(code, bus, message, signal, bus is null && message is null && modules is [var module] ? module : null);
}
