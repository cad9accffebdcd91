using BusScope.Frames.Diagnostics;
using BusScope.Signals.Definitions;
using BusScope.Signals.Expressions;
using BusScope.Signals.Loading.Binding;

namespace BusScope.Signals.Loading.Checking;

/// <summary>Finds names that nothing defines, when all files are read.</summary>
internal sealed class ReferenceCheck
{
    private readonly FaultList faults;
    private readonly SignalNames signals;
    private readonly HashSet<string> leftOut;
    private readonly Dictionary<ReferenceKind, HashSet<string>> names;

    private ReferenceCheck(DefinitionSet definitions, IReadOnlyList<FileBinding> files, FaultList faults)
    {
        leftOut = [.. files.SelectMany(file => file.LeftOut)];
        this.faults = faults;
        signals = new SignalNames(definitions, faults);
        names = new()
        {
            [ReferenceKind.Bus] = [.. definitions.Buses.Select(bus => bus.Name)],
            [ReferenceKind.Module] = [.. definitions.Modules.Select(module => module.Name)],
            [ReferenceKind.Message] = [.. definitions.Messages.Select(message => message.Name)],
        };
    }

    /// <summary>Checks every name and expression of all files.</summary>
    public static void Run(DefinitionSet definitions, IReadOnlyList<FileBinding> files, FaultList faults)
    {
        var check = new ReferenceCheck(definitions, files, faults);
        foreach (var file in files)
        {
            foreach (var reference in file.References)
            {
                check.Name(reference);
            }

            foreach (var use in file.Expressions)
            {
                check.Expression(use);
            }
        }

        check.ComputedLoops(definitions.Computed);
    }

    private void Name(Reference reference)
    {
        if (reference.Kind == ReferenceKind.Signal)
        {
            _ = Signal(reference.Name, reference.Place, mayBeComputed: false);
            return;
        }

        var known = names[reference.Kind];
        if (known.Contains(reference.Name) || leftOut.Contains(reference.Name))
        {
            return;
        }

        var (kind, what, section) = reference.Kind switch
        {
            ReferenceKind.Bus => (Faults.UnknownBus, "bus", "buses"),
            ReferenceKind.Module => (Faults.UnknownModule, "module", "modules"),
            _ => (Faults.UnknownMessage, "message", "messages"),
        };
        faults.Add(kind, reference.Place, $"no {what} {FaultList.Quote(reference.Name)} is defined", faults.Suggest(reference.Name, known) ?? $"define it under '{section}'");
    }

    private bool Signal(string name, TextPlace place, bool mayBeComputed, IEnumerable<string>? alsoMeant = null)
    {
        var found = signals.Find(name);
        if (found.Count == 1 || (mayBeComputed && signals.FindComputed(name) is not null))
        {
            return true;
        }

        if (found.Count > 1)
        {
            var some = string.Join(", ", found.Take(4).Select(each => $"{each.Message.Name}/{each.Signal.Name}"));
            faults.Add(Faults.AmbiguousSignal, place, $"{found.Count} messages have a signal {FaultList.Quote(name)}", $"write one of: {some}{(found.Count > 4 ? ", ..." : "")}");
            return false;
        }

        // 'Message/Signal' is left out with either of its halves.
        if (name.Split('/').Any(leftOut.Contains))
        {
            return false;
        }

        faults.Add(Faults.UnknownSignal, place, $"no signal {FaultList.Quote(name)} is defined", faults.Suggest(name, signals.All.Concat(alsoMeant ?? [])));
        return false;
    }

    private void Expression(ExpressionUse use)
    {
        foreach (var reference in use.Expression.References)
        {
            if (!IsNamedValue(reference, use.Expression))
            {
                _ = Signal(reference.Name, use.Written.Part(reference.Position, reference.Length), mayBeComputed: true, ValuesBeside(reference, use.Expression));
            }
        }
    }

    // 'CrankRelay == on': a name that is no signal may be a named value of the signal that it is compared with.
    private bool IsNamedValue(NameReference reference, Expression expression) =>
        signals.Find(reference.Name).Count == 0 && signals.FindComputed(reference.Name) is null
        && ValuesBeside(reference, expression).Contains(reference.Name);

    private IEnumerable<string> ValuesBeside(NameReference reference, Expression expression) => reference.ComparedWith < 0
        ? []
        : signals.Find(expression.References[reference.ComparedWith].Name).SelectMany(found => found.Signal.Values).Select(value => value.Name);

    private void ComputedLoops(IReadOnlyList<ComputedDefinition> computed)
    {
        foreach (var item in computed)
        {
            var seen = new HashSet<string>(StringComparer.Ordinal);
            var open = new Stack<ComputedDefinition>([item]);
            while (open.TryPop(out var next))
            {
                if (next.Expression.References.Any(reference => reference.Name == item.Name))
                {
                    faults.Add(Faults.ComputedLoop, item.Place, $"{FaultList.Quote(item.Name)} is computed from itself{(ReferenceEquals(next, item) ? "" : $" by way of {FaultList.Quote(next.Name)}")}");
                    break;
                }

                foreach (var reference in next.Expression.References)
                {
                    if (signals.FindComputed(reference.Name) is { } other && seen.Add(other.Name))
                    {
                        open.Push(other);
                    }
                }
            }
        }
    }
}
