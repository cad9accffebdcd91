namespace BusScope.Signals.Expressions;

/// <summary>A fault in an expression.</summary>
/// <param name="Position">Characters from the start of the expression, from 0.</param>
/// <param name="Length">How many characters are meant, at least 1.</param>
/// <param name="Message">What was found and what was expected.</param>
public sealed record ExpressionFault(int Position, int Length, string Message);

/// <summary>A name in an expression: <c>Signal</c>, <c>Message/Signal</c>, or a named value of the signal it is compared with.</summary>
/// <param name="Name">The name, without quotes.</param>
/// <param name="Position">Characters from the start of the expression to its first use, from 0.</param>
public readonly record struct NameReference(string Name, int Position)
{
    /// <summary>How many characters it has as written.</summary>
    public int Length { get; init; } = Name.Length;

    /// <summary>
    /// The reference that it is compared with directly (<c>KeyPosition == on</c>), or -1. Only then can it be a named value, and
    /// then of that signal. The same name compared with another signal is another reference.
    /// </summary>
    public int ComparedWith { get; init; } = -1;
}

/// <summary>
/// A parsed expression over signals: numbers, names, named values, + - * /, comparisons, and, or, not, functions
/// (docs/expressions.md). Frozen; any thread may evaluate it.
/// </summary>
public sealed class Expression
{
    private readonly Step[] steps;
    private readonly NameReference[] references;

    private Expression(string text, Step[] steps, NameReference[] references)
    {
        Text = text;
        this.steps = steps;
        this.references = references;
    }

    /// <summary>As written.</summary>
    public string Text { get; }

    /// <summary>The names that the expression reads, each once (but see <see cref="NameReference.ComparedWith"/>), in order of their operand index.</summary>
    public IReadOnlyList<NameReference> References => references;

    /// <summary>Parses an expression.</summary>
    /// <returns>The expression, or null with a fault.</returns>
    public static Expression? Parse(string text, out ExpressionFault? fault)
    {
        ArgumentNullException.ThrowIfNull(text);
        if (Parser.Parse(text, out fault) is not var (steps, uses))
        {
            return null;
        }

        return new Expression(text, steps, Merge(steps, uses));
    }

    /// <summary>Whether a value counts as true: known and not 0.</summary>
    public static bool IsTrue(double value) => value != 0 && !double.IsNaN(value);

    /// <summary>Computes the value; true is 1 and false is 0. Allocates nothing.</summary>
    /// <param name="operands">One value for each of <see cref="References"/>; NaN where none is available.</param>
    /// <returns>The value, NaN where an operand that decides is not available.</returns>
    /// <exception cref="ArgumentException">Fewer operands than references.</exception>
    public double Evaluate(ReadOnlySpan<double> operands)
    {
        if (operands.Length < references.Length)
        {
            throw new ArgumentException($"{operands.Length} operands for {references.Length} references", nameof(operands));
        }

        Span<double> stack = stackalloc double[Parser.LargestDepth];
        var top = -1;
        foreach (ref readonly var step in steps.AsSpan())
        {
            switch (step.Takes)
            {
                case 0:
                    stack[++top] = step.Kind == StepKind.Constant ? step.Value : operands[step.Operand];
                    break;
                case 1:
                    stack[top] = Arithmetic.Apply(step.Kind, stack[top]);
                    break;
                case 2:
                    top--;
                    stack[top] = Arithmetic.Apply(step.Kind, stack[top], stack[top + 1]);
                    break;
                default:
                    top -= 2;
                    stack[top] = Arithmetic.Clamp(stack[top], stack[top + 1], stack[top + 2]);
                    break;
            }
        }

        return stack[0];
    }

    /// <inheritdoc/>
    public override string ToString() => Text;

    // The parser gave each use of a name a reference of its own; uses with the same name and the same partner become one.
    private static NameReference[] Merge(Step[] steps, NameReference[] uses)
    {
        var kept = new List<NameReference>();
        var byIdentity = new Dictionary<(string Name, string? Partner), int>();
        var places = new int[uses.Length];
        for (var i = 0; i < uses.Length; i++)
        {
            var use = uses[i];
            var identity = (use.Name, use.ComparedWith < 0 ? null : uses[use.ComparedWith].Name);
            if (!byIdentity.TryGetValue(identity, out places[i]))
            {
                places[i] = kept.Count;
                byIdentity.Add(identity, kept.Count);
                kept.Add(use);
            }
        }

        for (var i = 0; i < kept.Count; i++)
        {
            kept[i] = kept[i] with { ComparedWith = kept[i].ComparedWith < 0 ? -1 : places[kept[i].ComparedWith] };
        }

        foreach (ref var step in steps.AsSpan())
        {
            if (step.Kind == StepKind.Operand)
            {
                step = step with { Operand = places[step.Operand] };
            }
        }

        return [.. kept];
    }
}
