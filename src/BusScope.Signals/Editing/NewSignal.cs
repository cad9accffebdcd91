using BusScope.Frames;
using BusScope.Signals.Definitions;

namespace BusScope.Signals.Editing;

/// <summary>A signal that a person defined, and where it is to stand.</summary>
/// <param name="File">The definition file; it is begun where there is none.</param>
/// <param name="Message">The message's name: of one that the file has, or for a new one.</param>
/// <param name="Signal">A whole number with scale, offset and unit.</param>
public sealed record NewSignal(string File, string Message, SignalDefinition Signal)
{
    /// <summary>The identifier of its frames.</summary>
    public required CanId Id { get; init; }

    /// <summary>The bus they were seen on.</summary>
    public required string Bus { get; init; }
}
