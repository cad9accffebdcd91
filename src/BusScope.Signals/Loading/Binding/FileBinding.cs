using BusScope.Frames.Diagnostics;
using BusScope.Signals.Definitions;
using BusScope.Signals.Expressions;
using BusScope.Signals.Loading.Yaml;

namespace BusScope.Signals.Loading.Binding;

/// <summary>What kind of thing a name in the file refers to.</summary>
internal enum ReferenceKind
{
    Bus,
    Module,
    Message,
    Signal,
}

/// <summary>A name that must be defined somewhere in the files.</summary>
internal readonly record struct Reference(ReferenceKind Kind, string Name, TextPlace Place);

/// <summary>An expression with the value that it was written in, so that its parts have places.</summary>
internal readonly record struct ExpressionUse(Expression Expression, ScalarNode Written);

/// <summary>What goes through all binders of one file: its faults, its defaults, and what can be checked only when all files are read.</summary>
internal sealed class FileBinding(FaultList faults)
{
    private bool toldOrderAssumed;

    /// <summary>Where faults go.</summary>
    public FaultList Faults { get; } = faults;

    /// <summary>The file's byte order for fields that name none, or null.</summary>
    public ByteOrder? DefaultOrder { get; set; }

    /// <summary>Whether signals that do not say otherwise have the standard's raw ranges.</summary>
    public bool DefaultRawRanges { get; set; }

    /// <summary>The file's own timing of messages that do not say otherwise.</summary>
    public MessageTiming DefaultTiming { get; set; } = new();

    /// <summary>Names to be found when all files are read.</summary>
    public List<Reference> References { get; } = [];

    /// <summary>Expressions whose names are to be found when all files are read.</summary>
    public List<ExpressionUse> Expressions { get; } = [];

    /// <summary>Names whose definitions were left out for their faults: to call them undefined as well would only confuse.</summary>
    public HashSet<string> LeftOut { get; } = new(StringComparer.Ordinal);

    /// <summary>The definition, or null with its name kept among those left out.</summary>
    public T? Keep<T>(bool isWhole, ScalarNode name, T definition)
        where T : class
    {
        if (!isWhole)
        {
            LeftOut.Add(name.Value);
        }

        return isWhole ? definition : null;
    }

    /// <summary>Parses an expression, or gives null with a fault at its exact place.</summary>
    public Expression? Expression(ScalarNode? scalar)
    {
        if (scalar is null)
        {
            return null;
        }

        if (Signals.Expressions.Expression.Parse(scalar.Value, out var fault) is { } expression)
        {
            Expressions.Add(new ExpressionUse(expression, scalar));
            return expression;
        }

        Faults.Add(Loading.Faults.ExpressionFault, fault is null ? scalar.Place : scalar.Part(fault.Position, fault.Length), CleanText.Clean(fault?.Message ?? "the expression cannot be understood"));
        return null;
    }

    /// <summary>A list of expressions.</summary>
    public IReadOnlyList<Expression> ExpressionList(Section section, string key) =>
        [.. section.Items(key).Select(item => Expression(Faults.Scalar(item, "expression"))).OfType<Expression>()];

    /// <summary>A name that must be defined, or null.</summary>
    public string? Refer(ReferenceKind kind, ScalarNode? scalar)
    {
        if (scalar is not null)
        {
            References.Add(new Reference(kind, scalar.Value, scalar.Place));
        }

        return scalar?.Value;
    }

    /// <summary>The byte order where neither field nor file names one. Told once a file.</summary>
    public ByteOrder AssumeOrder(TextPlace place)
    {
        if (!toldOrderAssumed)
        {
            toldOrderAssumed = true;
            Faults.Add(Loading.Faults.OrderAssumed, place, "this field has several bytes, and neither it nor the file names a byte order; big was assumed here and below", "write 'defaults: { order: big }' or 'little'");
        }

        return ByteOrder.Big;
    }
}
