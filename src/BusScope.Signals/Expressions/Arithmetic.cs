namespace BusScope.Signals.Expressions;

/// <summary>What the operators compute (docs/expressions.md). NaN stands for "not available" and decides like unknown in three-valued logic.</summary>
internal static class Arithmetic
{
    /// <summary>True and false as numbers.</summary>
    public static double Of(bool truth) => truth ? 1 : 0;

    /// <summary>One value from one.</summary>
    public static double Apply(StepKind kind, double x) => kind switch
    {
        StepKind.Negate => -x,
        StepKind.Not => double.IsNaN(x) ? x : Of(x == 0),
        StepKind.Absolute => Math.Abs(x),
        StepKind.SquareRoot => Math.Sqrt(x),
        StepKind.Round => Math.Round(x, MidpointRounding.AwayFromZero),
        StepKind.Floor => Math.Floor(x),
        StepKind.Ceiling => Math.Ceiling(x),
        _ => double.IsNaN(x) ? x : Math.Sign(x),
    };

    /// <summary>One value from two.</summary>
    public static double Apply(StepKind kind, double x, double y)
    {
        switch (kind)
        {
            case StepKind.And:
                return x == 0 || y == 0 ? 0 : double.IsNaN(x) || double.IsNaN(y) ? double.NaN : 1;
            case StepKind.Or:
                return IsTrue(x) || IsTrue(y) ? 1 : double.IsNaN(x) || double.IsNaN(y) ? double.NaN : 0;
            default:
                return double.IsNaN(x) || double.IsNaN(y) ? double.NaN : ApplyKnown(kind, x, y);
        }
    }

    /// <summary>The value held between two limits; the upper one wins where they contradict.</summary>
    public static double Clamp(double x, double low, double high) =>
        double.IsNaN(x) || double.IsNaN(low) || double.IsNaN(high) ? double.NaN : Math.Min(Math.Max(x, low), high);

    private static bool IsTrue(double x) => x != 0 && !double.IsNaN(x);

    private static double ApplyKnown(StepKind kind, double x, double y) => kind switch
    {
        StepKind.Add => x + y,
        StepKind.Subtract => x - y,
        StepKind.Multiply => x * y,

        // At standstill a ratio has no value: an infinite one would pass every "greater than".
        StepKind.Divide => y == 0 ? double.NaN : x / y,
        StepKind.Remainder => y == 0 ? double.NaN : x % y,
        StepKind.Equal => Of(x == y),
        StepKind.NotEqual => Of(x != y),
        StepKind.Less => Of(x < y),
        StepKind.LessOrEqual => Of(x <= y),
        StepKind.Greater => Of(x > y),
        StepKind.GreaterOrEqual => Of(x >= y),
        StepKind.Minimum => Math.Min(x, y),
        _ => Math.Max(x, y),
    };
}
