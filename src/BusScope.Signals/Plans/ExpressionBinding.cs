using BusScope.Signals.Expressions;

namespace BusScope.Signals.Plans;

/// <summary>What a name in an expression stands for.</summary>
public enum OperandKind
{
    /// <summary>Nothing that is defined: never available.</summary>
    Unknown,

    /// <summary>A signal of a message.</summary>
    Signal,

    /// <summary>A computed signal.</summary>
    Computed,

    /// <summary>A named value of the signal that it is compared with.</summary>
    NamedValue,
}

/// <summary>What one reference of an expression is bound to.</summary>
/// <param name="Kind">What it stands for.</param>
/// <param name="Message">For a signal, the index of its message.</param>
/// <param name="Index">For a signal, its index in its message; for a computed signal, its index in the set.</param>
/// <param name="Constant">For a named value, its physical value; otherwise NaN.</param>
public readonly record struct Operand(OperandKind Kind, int Message, int Index, double Constant);

/// <summary>Binds the names of expressions to the signals of a definition set.</summary>
public static class ExpressionBinding
{
    /// <summary>
    /// One operand for each reference. A name that is compared directly with a signal is a named value of that signal where it has
    /// one of the name; otherwise it is a signal, and then a computed signal.
    /// </summary>
    public static Operand[] Bind(DefinitionPlan plan, Expression expression)
    {
        ArgumentNullException.ThrowIfNull(plan);
        ArgumentNullException.ThrowIfNull(expression);
        var operands = new Operand[expression.References.Count];
        for (var i = 0; i < operands.Length; i++)
        {
            operands[i] = Bind(plan, expression, expression.References[i]);
        }

        return operands;
    }

    private static Operand Bind(DefinitionPlan plan, Expression expression, NameReference reference)
    {
        if (reference.ComparedWith >= 0
            && plan.FindSignal(expression.References[reference.ComparedWith].Name) is var (message, signal)
            && plan.Messages[message].Signals[signal].ValueOf(reference.Name) is { } constant)
        {
            return new Operand(OperandKind.NamedValue, -1, -1, constant);
        }

        if (plan.FindSignal(reference.Name) is var (ofMessage, index))
        {
            return new Operand(OperandKind.Signal, ofMessage, index, double.NaN);
        }

        var computed = plan.FindComputed(reference.Name);
        return computed >= 0
            ? new Operand(OperandKind.Computed, -1, computed, double.NaN)
            : new Operand(OperandKind.Unknown, -1, -1, double.NaN);
    }
}
