namespace BusScope.Signals.Expressions;

/// <summary>What a piece of an expression's text is.</summary>
internal enum TokenKind : byte
{
    End,
    Number,
    Name,
    Operator,
    Open,
    Close,
    Comma,
    Fault,
}

/// <summary>A piece of an expression's text.</summary>
/// <param name="Kind">What it is.</param>
/// <param name="Position">Where it begins.</param>
/// <param name="Length">Characters.</param>
/// <param name="Text">The operator; a name without its quotes; for a fault, what is wrong.</param>
/// <param name="Value">The number.</param>
/// <param name="IsQuoted">Whether a name stood in quotes, so that it is no word of the language.</param>
internal readonly record struct Token(TokenKind Kind, int Position, int Length, string Text, double Value = 0, bool IsQuoted = false)
{
    /// <summary>Whether it is this operator, or this word written as an operator.</summary>
    public bool Is(string text) => !IsQuoted && Kind is TokenKind.Operator or TokenKind.Name && Text == text;
}
