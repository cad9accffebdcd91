using BusScope.Frames.Diagnostics;

namespace BusScope.Signals.Loading;

/// <summary>A kind of fault that a definition file can have; documented under its code in docs/diagnostics.md.</summary>
/// <param name="Code">Stable name, lower case with hyphens.</param>
/// <param name="Severity">Whether the definitions can be used all the same.</param>
/// <param name="Meaning">One sentence for a person, without a full stop.</param>
public sealed record FaultKind(string Code, Severity Severity, string Meaning);
