namespace BusScope.Signals.Expressions;

/// <summary>What one step of a compiled expression does with the stack of values.</summary>
internal enum StepKind : byte
{
    Constant,
    Operand,
    Negate,
    Not,
    Add,
    Subtract,
    Multiply,
    Divide,
    Remainder,
    Equal,
    NotEqual,
    Less,
    LessOrEqual,
    Greater,
    GreaterOrEqual,
    And,
    Or,
    Absolute,
    Minimum,
    Maximum,
    SquareRoot,
    Round,
    Floor,
    Ceiling,
    Clamp,
    Sign,
}

/// <summary>One step of a compiled expression.</summary>
/// <param name="Kind">What it does.</param>
/// <param name="Value">The constant of <see cref="StepKind.Constant"/>.</param>
/// <param name="Operand">The operand of <see cref="StepKind.Operand"/>.</param>
internal readonly record struct Step(StepKind Kind, double Value = 0, int Operand = 0)
{
    /// <summary>How many values the step takes from the stack; each puts one back.</summary>
    public int Takes => Kind switch
    {
        StepKind.Constant or StepKind.Operand => 0,
        StepKind.Negate or StepKind.Not or StepKind.Absolute or StepKind.SquareRoot or StepKind.Round or StepKind.Floor or StepKind.Ceiling or StepKind.Sign => 1,
        StepKind.Clamp => 3,
        _ => 2,
    };
}
