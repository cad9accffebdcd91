using BusScope.Signals.Definitions;
using BusScope.Signals.Plans;

namespace BusScope.Analysis.Learning.Writing;

/// <summary>Which message of a definition file a learned one is.</summary>
internal sealed class MessageMatch(Baseline baseline, DefinitionSet known, BaselineNames names)
{
    private readonly bool hasOneBus = baseline.Buses.Count == 1;

    /// <summary>The message of the file, or null where it has none for the identifier.</summary>
    public MessageDefinition? Find(LearnedMessage learned) =>
        known.Messages.FirstOrDefault(message => IsOnBus(message, learned) && message.Key is MessageKey.Identifier key && key.Id == learned.Id)
        ?? known.Messages.FirstOrDefault(message => IsOnBus(message, learned) && message.Key is MessageKey.ParameterGroup group && learned.Id.IsExtended
            && J1939Id.From(learned.Id) is var id && id.Pgn == group.Pgn && (group.Source is null || group.Source == id.Source));

    private bool IsOnBus(MessageDefinition message, LearnedMessage learned) => message.Bus is { } bus ? bus == names.Bus(learned.Bus) : hasOneBus;
}
