using BusScope.Signals.Definitions;

namespace BusScope.Signals.Loading.Checking;

/// <summary>What a name may mean: <c>Message/Signal</c>, a signal's own name where it is unique, or a computed signal.</summary>
internal sealed class SignalNames
{
    private readonly Dictionary<string, List<(MessageDefinition Message, SignalDefinition Signal)>> byName = new(StringComparer.Ordinal);
    private readonly Dictionary<string, ComputedDefinition> computed = new(StringComparer.Ordinal);

    public SignalNames(DefinitionSet definitions, FaultList faults)
    {
        foreach (var message in definitions.Messages)
        {
            foreach (var signal in message.Signals)
            {
                Enter(signal.Name, (message, signal));
                Enter($"{message.Name}/{signal.Name}", (message, signal));
            }
        }

        foreach (var item in definitions.Computed)
        {
            computed.TryAdd(item.Name, item);
            if (byName.TryGetValue(item.Name, out var signals))
            {
                faults.Add(Faults.NameClash, item.Place, $"the computed signal {FaultList.Quote(item.Name)} has the name of a signal of {FaultList.Quote(signals[0].Message.Name)}", "rename one of the two", signals[0].Signal.Place);
            }
        }
    }

    /// <summary>All names, for suggestions.</summary>
    public IEnumerable<string> All => byName.Keys.Concat(computed.Keys);

    /// <summary>The signals of that name: none, one, or the several that make it ambiguous.</summary>
    public IReadOnlyList<(MessageDefinition Message, SignalDefinition Signal)> Find(string name) => byName.TryGetValue(name, out var found) ? found : [];

    /// <summary>The computed signal of that name, or null.</summary>
    public ComputedDefinition? FindComputed(string name) => computed.GetValueOrDefault(name);

    private void Enter(string name, (MessageDefinition, SignalDefinition) signal)
    {
        if (!byName.TryGetValue(name, out var list))
        {
            byName.Add(name, list = []);
        }

        list.Add(signal);
    }
}
