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
    private readonly int[][] ofModules;
    private readonly int[] aliveOfModules;

    /// <summary>The needs of a set.</summary>
    public Needs(DefinitionSet definitions)
    {
        var messages = definitions.Messages;
        areStated = messages.Any(message => message.NeededBy.Count > 0);
        ofModules = [.. definitions.Modules.Select(module => Enumerable.Range(0, messages.Count).Where(index => messages[index].NeededBy.Contains(module.Name)).ToArray())];
        aliveOfModules = [.. definitions.Modules.Select(module => Enumerable.Range(0, messages.Count).FirstOrDefault(index => messages[index].Name == module.Alive, -1))];
    }

    /// <summary>The indexes of the messages that a module lives on.</summary>
    /// <param name="module">Its index in the set.</param>
    public ReadOnlySpan<int> Of(int module) => ofModules[module];

    /// <summary>The index of the message that proves that a module runs, or -1.</summary>
    /// <param name="module">Its index in the set.</param>
    public int AliveOf(int module) => aliveOfModules[module];

    /// <summary>Whether somebody lives on a message.</summary>
    public bool IsNeeded(MessageDefinition message) => !areStated || message.NeededBy.Count > 0;

    /// <summary>What a lasting fault of a message weighs.</summary>
    public FindingSeverity SeverityOf(MessageDefinition message) => IsNeeded(message) ? FindingSeverity.Fault : FindingSeverity.Warning;

    /// <summary>What the silence of a bus weighs of which these messages are expected.</summary>
    public FindingSeverity SilenceOf(IEnumerable<DefinedMessage> expected) =>
        expected.Select(message => SeverityOf(message.Definition)).DefaultIfEmpty(FindingSeverity.Note).Max();
}
