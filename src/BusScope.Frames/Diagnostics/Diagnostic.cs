namespace BusScope.Frames.Diagnostics;

/// <summary>How much a fault in user input weighs.</summary>
public enum Severity
{
    /// <summary>Worth knowing; nothing is wrong.</summary>
    Note,

    /// <summary>Probably not what was meant; the input is used all the same.</summary>
    Warning,

    /// <summary>The input cannot be used.</summary>
    Error,
}

/// <summary>A place in a text that a user wrote.</summary>
/// <param name="File">The file as the user named it.</param>
/// <param name="Line">Counted from 1.</param>
/// <param name="Column">Counted from 1.</param>
/// <param name="Length">How many characters are meant, at least 1.</param>
public readonly record struct TextPlace(string File, int Line, int Column, int Length = 1)
{
    /// <summary><c>file:line:column</c>.</summary>
    public override string ToString() => $"{File}:{Line}:{Column}";
}

/// <summary>One fault in user input: what was found where, what was expected, and what would help.</summary>
/// <param name="Code">Stable name, lower case with hyphens: <c>unknown-key</c>. Documented in docs/diagnostics.md.</param>
/// <param name="Severity">Whether the input can be used all the same.</param>
/// <param name="Place">Where it stands.</param>
/// <param name="Message">What is wrong: found and expected, one sentence.</param>
/// <param name="Hint">What would help, or null.</param>
public sealed record Diagnostic(string Code, Severity Severity, TextPlace Place, string Message, string? Hint = null)
{
    /// <summary>A second place that the fault is about (the first definition of a name defined twice), or null.</summary>
    public TextPlace? Related { get; init; }
}
