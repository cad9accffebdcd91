using BusScope.Frames;
using BusScope.Signals.Definitions;

namespace BusScope.Signals.Plans;

/// <summary>A definition set compiled for running: every message's plan, and which frames belong to which. Frozen.</summary>
public sealed class DefinitionPlan
{
    private readonly MessagePlan[] messages;
    private readonly Dictionary<string, (MessageIndex Alone, MessageIndex AmongOthers)> buses = new(StringComparer.Ordinal);
    private readonly (MessageIndex Alone, MessageIndex AmongOthers) unnamed;
    private readonly Dictionary<string, (int Message, int Signal)> byPath = new(StringComparer.Ordinal);
    private readonly Dictionary<string, (int Message, int Signal)?> byName = new(StringComparer.Ordinal);

    /// <summary>Compiles a set that the loader accepted.</summary>
    public DefinitionPlan(DefinitionSet definitions)
    {
        ArgumentNullException.ThrowIfNull(definitions);
        Definitions = definitions;
        messages = [.. definitions.Messages.Select(message => new MessagePlan(message))];
        foreach (var bus in definitions.Messages.Select(message => message.Bus).OfType<string>().Distinct(StringComparer.Ordinal))
        {
            var index = Index(message => message.Bus is null || message.Bus == bus);
            buses.Add(bus, (index, index));
        }

        unnamed = (Index(_ => true), Index(message => message.Bus is null));
        for (var m = 0; m < messages.Length; m++)
        {
            var message = messages[m].Definition;
            for (var s = 0; s < message.Signals.Count; s++)
            {
                var name = message.Signals[s].Name;
                byPath.TryAdd($"{message.Name}/{name}", (m, s));
                byName[name] = byName.ContainsKey(name) ? null : (m, s);
            }
        }
    }

    /// <summary>What it was compiled from.</summary>
    public DefinitionSet Definitions { get; }

    /// <summary>One for each message of the set, in its order.</summary>
    public IReadOnlyList<MessagePlan> Messages => messages;

    /// <summary>
    /// The messages of one bus of a source. A message that names its bus is found on the bus of that name; one that names
    /// none, on every bus, where no other message claims the identifier by name of the bus. Where the only bus of a source has
    /// a name that no message knows, every message may be meant; of two with the same identifier, the first that names a bus.
    /// </summary>
    /// <param name="bus">The name of the bus in the source.</param>
    /// <param name="onlyBus">Whether the source has no other bus.</param>
    public MessageIndex On(string bus, bool onlyBus)
    {
        var (alone, amongOthers) = buses.TryGetValue(bus, out var found) ? found : unnamed;
        return onlyBus ? alone : amongOthers;
    }

    /// <summary>The message that frames of this identifier on this bus are instances of: by identifier, else by parameter group.</summary>
    /// <param name="bus">The name of the bus in the source.</param>
    /// <param name="onlyBus">Whether the source has no other bus, so that messages of any one bus may match when names differ.</param>
    /// <param name="id">The identifier.</param>
    /// <returns>An index into <see cref="Messages"/>, or -1.</returns>
    public int Find(string bus, bool onlyBus, CanId id) => On(bus, onlyBus).Find(id);

    /// <summary>Finds a signal by <c>Message/Signal</c>, or by its own name where that is unique.</summary>
    /// <returns>Indexes of message and signal, or null.</returns>
    public (int Message, int Signal)? FindSignal(string name) =>
        byPath.TryGetValue(name, out var byItsPath) ? byItsPath : byName.GetValueOrDefault(name);

    /// <summary>Finds a computed signal by name.</summary>
    /// <returns>An index into the computed signals of <see cref="Definitions"/>, or -1.</returns>
    public int FindComputed(string name)
    {
        for (var i = 0; i < Definitions.Computed.Count; i++)
        {
            if (Definitions.Computed[i].Name == name)
            {
                return i;
            }
        }

        return -1;
    }

    private MessageIndex Index(Func<MessageDefinition, bool> isOn)
    {
        var index = new MessageIndex();
        foreach (var m in Enumerable.Range(0, messages.Length).Where(m => isOn(messages[m].Definition)).OrderBy(m => messages[m].Definition.Bus is null))
        {
            var definition = messages[m].Definition;
            if (definition.Key is MessageKey.Identifier key)
            {
                index.Add(key.Id, m);
            }
            else if (definition.Key is MessageKey.ParameterGroup group)
            {
                index.AddGroup(group.Pgn, group.Source ?? -1, m);
            }
        }

        return index;
    }
}
