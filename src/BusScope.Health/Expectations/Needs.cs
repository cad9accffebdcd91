using BusScope.Health.Tracking;
using BusScope.Signals.Definitions;

namespace BusScope.Health.Expectations;

/// <summary>
/// Who lives on what. Where no message of the set says who needs it, as in an expectation learned from a recording, every
/// message is held to be needed.
/// </summary>
internal sealed class Needs
{
    private readonly bool areStated;

    /// <summary>The needs of a set.</summary>
    public Needs(DefinitionSet definitions) => areStated = definitions.Messages.Any(message => message.NeededBy.Count > 0);

    /// <summary>Whether somebody lives on a message.</summary>
    public bool IsNeeded(MessageDefinition message) => !areStated || message.NeededBy.Count > 0;

    /// <summary>What a lasting fault of a message weighs.</summary>
    public FindingSeverity SeverityOf(MessageDefinition message) => IsNeeded(message) ? FindingSeverity.Fault : FindingSeverity.Warning;

    /// <summary>What the silence of a bus weighs of which these messages are expected.</summary>
    public FindingSeverity SilenceOf(IEnumerable<DefinedMessage> expected) =>
        expected.Select(message => SeverityOf(message.Definition)).DefaultIfEmpty(FindingSeverity.Note).Max();
}
