namespace BusScope.Signals.Expressions;

/// <summary>A function that an expression can call.</summary>
/// <param name="Name">As written.</param>
/// <param name="Kind">The step that computes it.</param>
/// <param name="Count">How many values it takes; of a folded one, at least.</param>
/// <param name="IsFolded">Whether it takes any number of values, two by two.</param>
internal sealed record Function(string Name, StepKind Kind, int Count, bool IsFolded = false)
{
    private static readonly Function[] all =
    [
        new("abs", StepKind.Absolute, 1),
        new("ceil", StepKind.Ceiling, 1),
        new("clamp", StepKind.Clamp, 3),
        new("floor", StepKind.Floor, 1),
        new("max", StepKind.Maximum, 2, IsFolded: true),
        new("min", StepKind.Minimum, 2, IsFolded: true),
        new("round", StepKind.Round, 1),
        new("sign", StepKind.Sign, 1),
        new("sqrt", StepKind.SquareRoot, 1),
    ];

    /// <summary>All names, for a person.</summary>
    public static string Names { get; } = string.Join(", ", all.Select(function => function.Name));

    /// <summary>How many values are expected, for a person.</summary>
    public string Expected => IsFolded ? $"{Count} or more" : $"{Count}";

    /// <summary>The function of this name, or null.</summary>
    public static Function? Find(string name) => Array.Find(all, function => function.Name == name);

    /// <summary>Whether it takes so many values.</summary>
    public bool Takes(int count) => IsFolded ? count >= Count : count == Count;
}
