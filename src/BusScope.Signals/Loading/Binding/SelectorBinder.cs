using BusScope.Signals.Definitions;
using BusScope.Signals.Loading.Yaml;

namespace BusScope.Signals.Loading.Binding;

/// <summary>Resolves the <c>when</c> of multiplexed signals, once all signals of the message are known.</summary>
internal static class SelectorBinder
{
    /// <summary>The signals with their conditions.</summary>
    public static IReadOnlyList<SignalDefinition> Resolve(IReadOnlyList<BoundSignal> bound, FileBinding file)
    {
        var faults = file.Faults;
        var byName = new Dictionary<string, BoundSignal>(StringComparer.Ordinal);
        foreach (var signal in bound)
        {
            byName[signal.Definition.Name] = signal;
        }

        foreach (var signal in bound.Where(signal => signal.When.Count > 0))
        {
            if (Loops(signal, byName))
            {
                faults.Add(Faults.SelectorLoop, signal.When[0].Key.Place, $"{FaultList.Quote(signal.Definition.Name)} is there only while it itself has a value: its selectors lead back to it");
            }
        }

        return [.. bound.Select(signal => signal.When.Count == 0 ? signal.Definition : signal.Definition with
        {
            When = [.. signal.When.Select(entry => Condition(entry, byName, file)).OfType<SelectorCondition>()],
        })];
    }

    private static SelectorCondition? Condition(Entry entry, Dictionary<string, BoundSignal> byName, FileBinding file)
    {
        var faults = file.Faults;
        if (!byName.TryGetValue(entry.Name, out var selector))
        {
            if (!file.LeftOut.Contains(entry.Name))
            {
                faults.Add(Faults.SelectorUnknown, entry.Key.Place, $"the message has no signal {FaultList.Quote(entry.Name)}", faults.Suggest(entry.Name, byName.Keys));
            }

            return null;
        }

        var definition = selector.Definition;
        if (definition.Encoding is not (SignalEncoding.Unsigned or SignalEncoding.Signed))
        {
            faults.Add(Faults.SelectorType, entry.Key.Place, $"{FaultList.Quote(entry.Name)} cannot select: it is not a whole number", null, definition.Place);
            return null;
        }

        var ranges = new List<RawRange>();
        foreach (var item in entry.Value is ListNode list ? list.Items : [entry.Value])
        {
            ranges.AddRange(item is ScalarNode scalar && NamedRaw(definition, scalar.Value) is { } raw
                ? [new RawRange(raw, raw)]
                : RangeReading.RawRanges(faults, [item], definition.Field.Length, definition.Encoding == SignalEncoding.Signed));
        }

        return ranges.Count == 0 ? null : new SelectorCondition(entry.Name, ranges);
    }

    private static ulong? NamedRaw(SignalDefinition selector, string name)
    {
        foreach (var value in selector.Values)
        {
            if (value.Name == name)
            {
                return (ulong)value.Raw & (ulong.MaxValue >> (64 - selector.Field.Length));
            }
        }

        return null;
    }

    // A walk over the selectors' selectors; each is visited once, so a file of a thousand signals stays cheap.
    private static bool Loops(BoundSignal signal, Dictionary<string, BoundSignal> byName)
    {
        var seen = new HashSet<string>(StringComparer.Ordinal);
        var open = new Stack<BoundSignal>([signal]);
        while (open.TryPop(out var next))
        {
            foreach (var entry in next.When)
            {
                if (entry.Name == signal.Definition.Name)
                {
                    return true;
                }

                if (seen.Add(entry.Name) && byName.TryGetValue(entry.Name, out var selector))
                {
                    open.Push(selector);
                }
            }
        }

        return false;
    }
}
