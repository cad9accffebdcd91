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

    /// <summary>A set with the signal in it, behind those that its message has.</summary>
    /// <param name="known">The set.</param>
    /// <param name="message">The index of its message; -1 for a new one, which is put behind all others.</param>
    public DefinitionSet Into(DefinitionSet known, int message)
    {
        ArgumentNullException.ThrowIfNull(known);
        return message < 0
            ? known with { Messages = [.. known.Messages, new MessageDefinition { Name = Message, Key = new MessageKey.Identifier(Id), Bus = Bus, Signals = [Signal] }] }
            : known with { Messages = [.. known.Messages.Select((each, i) => i == message ? each with { Signals = [.. each.Signals, Signal] } : each)] };
    }
}
