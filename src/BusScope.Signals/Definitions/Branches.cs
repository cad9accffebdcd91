namespace BusScope.Signals.Definitions;

/// <summary>Which signals of a message can be in one frame together: those of different branches of a multiplexer never are.</summary>
public sealed class Branches
{
    private readonly Dictionary<string, IReadOnlyList<RawRange>>[] conditions;

    /// <summary>For the signals of one message.</summary>
    public Branches(IReadOnlyList<SignalDefinition> signals)
    {
        ArgumentNullException.ThrowIfNull(signals);
        var byName = new Dictionary<string, SignalDefinition>(StringComparer.Ordinal);
        foreach (var signal in signals)
        {
            byName[signal.Name] = signal;
        }

        conditions = [.. signals.Select(signal => Gather(signal, byName))];
    }

    /// <summary>Whether one frame can hold both: no selector on their ways asks for different values.</summary>
    /// <param name="left">Index of a signal.</param>
    /// <param name="right">Index of another.</param>
    public bool CanMeet(int left, int right)
    {
        foreach (var (selector, values) in conditions[left])
        {
            if (conditions[right].TryGetValue(selector, out var others) && !values.Any(value => others.Any(other => value.From <= other.To && other.From <= value.To)))
            {
                return false;
            }
        }

        return true;
    }

    // Nested selectors: what selects the selector must hold too.
    private static Dictionary<string, IReadOnlyList<RawRange>> Gather(SignalDefinition signal, Dictionary<string, SignalDefinition> byName)
    {
        var all = new Dictionary<string, IReadOnlyList<RawRange>>(StringComparer.Ordinal);
        if (signal.When.Count == 0)
        {
            return all;
        }

        var open = new Stack<SignalDefinition>([signal]);
        while (open.TryPop(out var next))
        {
            foreach (var condition in next.When)
            {
                if (all.TryAdd(condition.Selector, condition.Values) && byName.TryGetValue(condition.Selector, out var selector))
                {
                    open.Push(selector);
                }
            }
        }

        return all;
    }
}
