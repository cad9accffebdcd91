using BusScope.Frames.Diagnostics;
using BusScope.Signals.Definitions;

namespace BusScope.Signals.Loading.Checking;

/// <summary>Joins what several files define; the same name in two files is a clash that names both places.</summary>
internal static class Merge
{
    /// <summary>One set out of the files' sets, first definitions winning; its title names those of all files.</summary>
    public static DefinitionSet Run(IReadOnlyList<DefinitionSet> files, FaultList faults)
    {
        var merged = new DefinitionSet
        {
            Title = files.Select(file => file.Title).OfType<string>().Distinct(StringComparer.Ordinal).ToList() is { Count: > 0 } titles ? string.Join("; ", titles) : null,

            // Files of one car repeat its buses and modules; saying the same twice is no clash.
            Buses = Join(files, "bus", file => file.Buses, bus => bus.Name, bus => bus.Place, faults, (left, right) => left == right with { Place = left.Place }),
            Modules = Join(files, "module", file => file.Modules, module => module.Name, module => module.Place, faults, (left, right) => left == right with { Place = left.Place }),
            Messages = Join(files, "message", file => file.Messages, message => message.Name, message => message.Place, faults),
            Computed = Join(files, "computed signal", file => file.Computed, computed => computed.Name, computed => computed.Place, faults),
            Sequences = Join(files, "sequence", file => file.Sequences, sequence => sequence.Name, sequence => sequence.Place, faults),
            Relays = Join(files, "relay", file => file.Relays, relay => relay.Name, relay => relay.Place, faults),
        };
        CheckIdentifiers(merged.Messages, faults);
        return merged;
    }

    private static List<T> Join<T>(IReadOnlyList<DefinitionSet> files, string what, Func<DefinitionSet, IReadOnlyList<T>> part, Func<T, string> name, Func<T, TextPlace> place, FaultList faults, Func<T, T, bool>? same = null)
    {
        var all = new List<T>();
        var byName = new Dictionary<string, T>(StringComparer.Ordinal);
        foreach (var item in files.SelectMany(part))
        {
            if (byName.TryAdd(name(item), item))
            {
                all.Add(item);
            }
            else if (byName[name(item)] is var first && same?.Invoke(first, item) != true)
            {
                faults.Add(Faults.NameClash, place(item), $"the {what} {FaultList.Quote(name(item))} is defined already", "rename one of the two, or load only one of the files", place(first));
            }
        }

        return all;
    }

    private static void CheckIdentifiers(IReadOnlyList<MessageDefinition> messages, FaultList faults)
    {
        var seen = new Dictionary<(string?, MessageKey), MessageDefinition>();
        foreach (var message in messages)
        {
            if (seen.TryAdd((message.Bus, message.Key), message))
            {
                continue;
            }

            var first = seen[(message.Bus, message.Key)];
            var key = message.Key switch
            {
                MessageKey.Identifier id => $"identifier {id.Id}",
                MessageKey.ParameterGroup { Source: { } source } group => $"parameter group {group.Pgn} from source 0x{source:X2}",
                MessageKey.ParameterGroup group => $"parameter group {group.Pgn}",
                _ => throw new InvalidOperationException("a new kind of message key"),
            };
            faults.Add(Faults.IdentifierTwice, message.Place, $"{FaultList.Quote(message.Name)} has the {key} of {FaultList.Quote(first.Name)}{(message.Bus is null ? "" : $" on the bus {FaultList.Quote(message.Bus)}")}", "one of the two is wrong; content that differs by a selector is one message with 'when'", first.Place);
        }
    }
}
