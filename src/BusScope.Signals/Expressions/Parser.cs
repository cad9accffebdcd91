namespace BusScope.Signals.Expressions;

/// <summary>
/// Turns the text of an expression into steps by climbing precedences: or, and, not, comparison, sum, product, sign. The first
/// fault ends it; nesting, size and stack are limited, so that hostile text costs no more than its length.
/// </summary>
internal ref struct Parser
{
    /// <summary>The longest text in characters.</summary>
    public const int LargestText = 4096;

    /// <summary>The most steps.</summary>
    public const int LargestSteps = 512;

    /// <summary>The most values on the stack at once.</summary>
    public const int LargestDepth = 32;

    /// <summary>The most levels of parentheses, signs and calls.</summary>
    public const int LargestNesting = 64;

    private readonly List<Step> steps = [];
    private readonly List<NameReference> references = [];
    private Tokenizer tokens;
    private Token next;
    private int depth;
    private int nesting;

    private Parser(string text)
    {
        tokens = new Tokenizer(text);
        next = tokens.Next();
    }

    /// <summary>What is wrong, or null.</summary>
    public ExpressionFault? Fault { get; private set; }

    /// <summary>Parses a text.</summary>
    public static (Step[] Steps, NameReference[] References)? Parse(string text, out ExpressionFault? fault)
    {
        if (text.Length > LargestText)
        {
            fault = new ExpressionFault(LargestText, 1, $"an expression of {text.Length} characters; expected at most {LargestText}");
            return null;
        }

        var parser = new Parser(text);
        if (parser.next.Kind == TokenKind.End)
        {
            fault = new ExpressionFault(0, 1, "the expression is empty");
            return null;
        }

        _ = parser.Or();
        if (parser.Fault is null && parser.next.Kind != TokenKind.End)
        {
            parser.Unexpected("an operator or the end");
        }

        fault = parser.Fault;
        return fault is null ? ([.. parser.steps], [.. parser.references]) : null;
    }

    private void Fail(int position, int length, string message) => Fault ??= new ExpressionFault(position, Math.Max(1, length), message);

    private void Fail(Token at, string message) => Fail(at.Position, at.Length, message);

    private void Unexpected(string expected) =>
        Fail(next, next.Kind == TokenKind.Fault ? next.Text : $"found {(next.Kind == TokenKind.End ? next.Text : $"'{next.Text}'")}; expected {expected}");

    private Token Take()
    {
        var taken = next;
        next = tokens.Next();
        return taken;
    }

    private void Emit(Step step, Token at)
    {
        depth += 1 - step.Takes;
        if (steps.Count == LargestSteps || depth > LargestDepth)
        {
            Fail(at, $"the expression is too large; expected at most {LargestSteps} steps and {LargestDepth} open values");
            return;
        }

        steps.Add(step);
    }

    // Each of these gives the operand that its value comes from alone, or -1: names can be compared with named values.
    private int Or()
    {
        var alone = And();
        while (Fault is null && next.Is("or"))
        {
            var sign = Take();
            _ = And();
            Emit(new Step(StepKind.Or), sign);
            alone = -1;
        }

        return alone;
    }

    private int And()
    {
        var alone = Not();
        while (Fault is null && next.Is("and"))
        {
            var sign = Take();
            _ = Not();
            Emit(new Step(StepKind.And), sign);
            alone = -1;
        }

        return alone;
    }

    private int Not()
    {
        if (!next.Is("not"))
        {
            return Comparison();
        }

        var sign = Take();
        if (Enter(sign))
        {
            _ = Not();
            nesting--;
            Emit(new Step(StepKind.Not), sign);
        }

        return -1;
    }

    private int Comparison()
    {
        var left = Sum();
        if (Fault is not null || ComparisonKind() is not { } kind)
        {
            return left;
        }

        var sign = Take();
        var right = Sum();
        Emit(new Step(kind), sign);
        if (Fault is null && ComparisonKind() is not null)
        {
            Fail(next, "a comparison of a comparison; join two with 'and'");
        }

        if (Fault is null && left >= 0 && right >= 0)
        {
            Pair(left, right);
        }

        return -1;
    }

    private readonly StepKind? ComparisonKind() => next.Kind != TokenKind.Operator ? null : next.Text switch
    {
        "==" => StepKind.Equal,
        "!=" => StepKind.NotEqual,
        "<" => StepKind.Less,
        "<=" => StepKind.LessOrEqual,
        ">" => StepKind.Greater,
        ">=" => StepKind.GreaterOrEqual,
        _ => null,
    };

    private int Sum()
    {
        var alone = Product();
        while (Fault is null && (next.Is("+") || next.Is("-")))
        {
            var sign = Take();
            _ = Product();
            Emit(new Step(sign.Text == "+" ? StepKind.Add : StepKind.Subtract), sign);
            alone = -1;
        }

        return alone;
    }

    private int Product()
    {
        var alone = Signed();
        while (Fault is null && (next.Is("*") || next.Is("/") || next.Is("%")))
        {
            var sign = Take();
            _ = Signed();
            Emit(new Step(sign.Text switch { "*" => StepKind.Multiply, "/" => StepKind.Divide, _ => StepKind.Remainder }), sign);
            alone = -1;
        }

        return alone;
    }

    private int Signed()
    {
        if (!next.Is("-"))
        {
            return Primary();
        }

        var sign = Take();
        if (Enter(sign))
        {
            _ = Signed();
            nesting--;
            Emit(new Step(StepKind.Negate), sign);
        }

        return -1;
    }

    private bool Enter(Token at)
    {
        if (++nesting > LargestNesting)
        {
            Fail(at, $"nested more than {LargestNesting} deep");
        }

        return Fault is null;
    }

    private int Primary()
    {
        switch (next.Kind)
        {
            case TokenKind.Number:
                var number = Take();
                Emit(new Step(StepKind.Constant, number.Value), number);
                return -1;
            case TokenKind.Open:
                var open = Take();
                if (!Enter(open))
                {
                    return -1;
                }

                var alone = Or();
                nesting--;
                Close(open);
                return alone;
            case TokenKind.Name when !(next.Is("and") || next.Is("or") || next.Is("not")):
                return Name();
            default:
                Unexpected("a number, a name or '('");
                return -1;
        }
    }

    private void Close(Token open)
    {
        if (Fault is not null)
        {
            return;
        }

        if (next.Kind == TokenKind.End)
        {
            Fail(open, "this parenthesis is not closed");
        }
        else if (next.Kind != TokenKind.Close)
        {
            Unexpected("')'");
        }
        else
        {
            _ = Take();
        }
    }

    private int Name()
    {
        var name = Take();
        if (next.Kind == TokenKind.Open && !name.IsQuoted)
        {
            Call(name);
            return -1;
        }

        if (!name.IsQuoted && name.Text is "true" or "false")
        {
            Emit(new Step(StepKind.Constant, Arithmetic.Of(name.Text == "true")), name);
            return -1;
        }

        // References are told apart at the end (Pair): each use stands for itself until then.
        references.Add(new NameReference(name.Text, name.Position) { Length = name.Length });
        Emit(new Step(StepKind.Operand, Operand: references.Count - 1), name);
        return references.Count - 1;
    }

    private readonly void Pair(int left, int right)
    {
        references[left] = references[left] with { ComparedWith = right };
        references[right] = references[right] with { ComparedWith = left };
    }

    private void Call(Token name)
    {
        if (Function.Find(name.Text) is not { } function)
        {
            Fail(name, $"found '{name.Text}('; expected one of the functions {Function.Names}");
            return;
        }

        var open = Take();
        if (!Enter(open))
        {
            return;
        }

        var count = 0;
        do
        {
            if (count > 0)
            {
                _ = Take();
            }

            _ = Or();
            count++;
            if (function.IsFolded && count > 1)
            {
                Emit(new Step(function.Kind), name);
            }
        }
        while (Fault is null && next.Kind == TokenKind.Comma);
        nesting--;
        Close(open);
        if (Fault is null && !function.Takes(count))
        {
            Fail(name, $"{name.Text} has {count} {(count == 1 ? "value" : "values")}; expected {function.Expected}");
        }
        else if (Fault is null && !function.IsFolded)
        {
            Emit(new Step(function.Kind), name);
        }
    }
}
