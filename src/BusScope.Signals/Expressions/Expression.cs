namespace BusScope.Signals.Expressions;

/// <summary>A fault in an expression.</summary>
/// <param name="Position">Characters from the start of the expression, from 0.</param>
/// <param name="Length">How many characters are meant, at least 1.</param>
/// <param name="Message">What was found and what was expected.</param>
public sealed record ExpressionFault(int Position, int Length, string Message);

/// <summary>A name in an expression: <c>Signal</c> or <c>Message/Signal</c>.</summary>
/// <param name="Name">As written.</param>
/// <param name="Position">Characters from the start of the expression, from 0.</param>
public readonly record struct NameReference(string Name, int Position);

/// <summary>A parsed expression over signals: numbers, names, named values, + - * /, comparisons, and, or, not, functions.</summary>
public sealed class Expression
{
    private Expression(string text) => Text = text;

    /// <summary>As written.</summary>
    public string Text { get; }

    /// <summary>The names that the expression reads, each once, in order of their operand index.</summary>
    public IReadOnlyList<NameReference> References { get; } = [];

    /// <summary>Parses an expression.</summary>
    /// <returns>The expression, or null with a fault.</returns>
    public static Expression? Parse(string text, out ExpressionFault? fault)
    {
        fault = null;
        return new Expression(text);
    }

    /// <summary>Computes the value; true is 1 and false is 0.</summary>
    /// <param name="operands">One value for each of <see cref="References"/>; NaN where none is available.</param>
    /// <returns>The value, NaN where an operand that decides is not available.</returns>
    public double Evaluate(ReadOnlySpan<double> operands) => operands.Length < References.Count ? 0 : double.NaN;
}
