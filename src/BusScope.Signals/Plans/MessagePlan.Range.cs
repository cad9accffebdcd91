namespace BusScope.Signals.Plans;

/// <summary>The smallest and the largest of several values; both NaN where there is none.</summary>
/// <param name="Smallest">The smallest.</param>
/// <param name="Largest">The largest.</param>
public readonly record struct ValueRange(double Smallest, double Largest)
{
    /// <summary>No value.</summary>
    public static ValueRange None => new(double.NaN, double.NaN);

    /// <summary>Whether there is a value.</summary>
    public bool HasValue => !double.IsNaN(Smallest);
}

public sealed partial class MessagePlan
{
    /// <summary>
    /// Finds the range of each signal in some rows of a block, each at once for all of them. That is the exact answer where every row holds
    /// the signal with a valid value; where that cannot be said at once, <see cref="ValueRange.None"/> says that the rows are to be read one by one.
    /// Allocates nothing.
    /// </summary>
    /// <param name="block">The rows.</param>
    /// <param name="from">The first.</param>
    /// <param name="to">The one behind the last, greater than <paramref name="from"/>.</param>
    /// <param name="ranges">One for each signal.</param>
    public void Ranges(MessageBlock block, int from, int to, Span<ValueRange> ranges)
    {
        ArgumentNullException.ThrowIfNull(block);
        var shortest = Smallest(block.Lengths[from..to]);
        var rows = block.Rows[(from * block.Stride)..(to * block.Stride)];
        for (var i = 0; i < signals.Length; i++)
        {
            ranges[i] = scans[i].Suits(shortest) ? scans[i].Range(signals[i], rows, block.Stride) : ValueRange.None;
        }
    }
}
