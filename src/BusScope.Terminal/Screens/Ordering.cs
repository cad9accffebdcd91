using BusScope.Health;

namespace BusScope.Terminal.Screens;

/// <summary>In which order modules and messages stand.</summary>
internal enum Order
{
    /// <summary>As the definitions have them, then by bus and identifier.</summary>
    AsDefined,

    /// <summary>What is worst first.</summary>
    Worst,

    /// <summary>By name.</summary>
    Name,

    /// <summary>By identifier.</summary>
    Identifier,

    /// <summary>What comes most often first.</summary>
    Often,
}

/// <summary>Compares what stands in a report; what is equal keeps the report's order, so that no line jumps.</summary>
internal static class Ordering
{
    /// <summary>The order as a title tells it; nothing for the usual one.</summary>
    public static string Word(Order order) => order switch
    {
        Order.Worst => ", worst first",
        Order.Name => ", by name",
        Order.Identifier => ", by identifier",
        Order.Often => ", most often first",
        _ => "",
    };

    /// <summary>The next order, and after the last the first.</summary>
    public static Order After(Order order) => order == Order.Often ? Order.AsDefined : order + 1;

    /// <summary>Compares two modules of a report by their indexes.</summary>
    public static int Modules(HealthReport health, Order order, int left, int right)
    {
        var (a, b) = (health.Modules[left], health.Modules[right]);
        var result = order switch
        {
            Order.Worst => Rank(b.Verdict) - Rank(a.Verdict),
            Order.Name => string.Compare(a.Definition.Title, b.Definition.Title, StringComparison.OrdinalIgnoreCase),
            _ => 0,
        };
        return result != 0 ? result : left - right;
    }

    /// <summary>Compares two messages of a report by their indexes.</summary>
    public static int Messages(HealthReport health, Order order, int left, int right)
    {
        var (a, b) = (health.Messages[left], health.Messages[right]);
        var result = order switch
        {
            Order.Worst => Badness(b) - Badness(a),
            Order.Name => CompareNames(a.Definition?.Name, b.Definition?.Name),
            Order.Identifier => Number(a).CompareTo(Number(b)),
            Order.Often => Gap(a).CompareTo(Gap(b)),
            _ => 0,
        };
        return result != 0 ? result : left - right;
    }

    // What has no name stands behind what has one.
    private static int CompareNames(string? left, string? right) =>
        (left, right) switch
        {
            (null, null) => 0,
            (null, _) => 1,
            (_, null) => -1,
            _ => string.Compare(left, right, StringComparison.OrdinalIgnoreCase),
        };

    private static long Number(MessageHealth message) => message.Id is { } id ? id.Value + (id.IsExtended ? 1L << 32 : 0) : long.MaxValue;

    private static long Gap(MessageHealth message) => message.Period.Median?.Nanoseconds ?? long.MaxValue;

    private static int Rank(Verdict verdict) => verdict switch { Verdict.NoGo => 2, Verdict.Inconclusive => 1, _ => 0 };

    private static int Badness(MessageHealth message)
    {
        var state = message.State switch
        {
            MessageState.Missing => 8,
            MessageState.Stale => 7,
            MessageState.Late => 4,
            MessageState.Awaited => 2,
            MessageState.Fresh => 1,
            _ => 0,
        };
        var found = message.Worst switch { FindingSeverity.Fault => 6, FindingSeverity.Warning => 3, _ => 0 };
        return Math.Max(state, found);
    }
}
