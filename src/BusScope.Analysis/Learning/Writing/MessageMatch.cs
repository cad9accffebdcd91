using BusScope.Signals.Definitions;
using BusScope.Signals.Plans;

namespace BusScope.Analysis.Learning.Writing;

/// <summary>Which message of a definition file a learned one is: that to which a check gives its frames, also where it names no bus.</summary>
internal sealed class MessageMatch(DefinitionSet known)
{
    private readonly DefinitionPlan plan = new(known);

    /// <summary>The message of the file, or null where it has none for the identifier.</summary>
    public MessageDefinition? Find(LearnedMessage learned) =>
        plan.Find(learned.Bus, onlyBus: false, learned.Id) is >= 0 and var message ? known.Messages[message] : null;
}
