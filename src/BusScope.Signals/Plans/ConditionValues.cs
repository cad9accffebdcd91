namespace BusScope.Signals.Plans;

/// <summary>
/// The values of the expressions of a <see cref="ConditionPlan"/> as frames come. One thread at a time. Allocates nothing after
/// it is made.
/// </summary>
public sealed class ConditionValues
{
    private readonly ConditionPlan plan;
    private double[][] operands;
    private double[] values;
    private bool[] isDirty;
    private int[] changed;
    private int changedCount;

    /// <summary>Nothing known yet but what follows from constants alone.</summary>
    public ConditionValues(ConditionPlan plan)
    {
        ArgumentNullException.ThrowIfNull(plan);
        this.plan = plan;
        operands = [.. plan.Nodes.Select(node => node.Start.ToArray())];
        values = new double[plan.Nodes.Length];
        values.AsSpan().Fill(double.NaN);
        isDirty = new bool[plan.Nodes.Length];
        isDirty.AsSpan().Fill(true);
        changed = new int[plan.Count];
        _ = EvaluateDirty();
    }

    /// <summary>The same values, which go on by themselves.</summary>
    public ConditionValues Copy()
    {
        var copy = (ConditionValues)MemberwiseClone();
        copy.operands = [.. operands.Select(of => (double[])of.Clone())];
        copy.values = [.. values];
        copy.isDirty = [.. isDirty];
        copy.changed = [.. changed];
        return copy;
    }

    /// <summary>The expressions whose value the latest <see cref="Take"/> or <see cref="Forget"/> changed.</summary>
    public ReadOnlySpan<int> Changed => changed.AsSpan(0, changedCount);

    /// <summary>The value of an expression, NaN where it is not available.</summary>
    public double this[int expression] => values[expression];

    /// <summary>Whether an expression is true; null where it is not available.</summary>
    public bool? Holds(int expression) => double.IsNaN(values[expression]) ? null : values[expression] != 0;

    /// <summary>
    /// Takes in a frame. All its signals change at once; a signal that the frame does not hold (another branch of the
    /// multiplexer) keeps its value; not available and error take it away.
    /// </summary>
    /// <param name="message">The index of its message.</param>
    /// <param name="payload">Its payload.</param>
    /// <returns>Whether the value of any expression changed.</returns>
    public bool Take(int message, ReadOnlySpan<byte> payload)
    {
        var read = plan.Plan.Messages[message];
        var isAnyDirty = false;
        var (signal, sample) = (-1, default(Sample));
        foreach (ref readonly var feed in plan.FeedsOf(message).AsSpan())
        {
            if (feed.Signal != signal)
            {
                signal = feed.Signal;
                sample = read.Read(signal, payload);
            }

            isAnyDirty |= sample.Quality != SampleQuality.Absent && Put(feed.Node, feed.Operand, sample.Value);
        }

        changedCount = 0;
        return isAnyDirty && EvaluateDirty();
    }

    /// <summary>Takes away what a message said: it has not come for too long.</summary>
    /// <returns>Whether the value of any expression changed.</returns>
    public bool Forget(int message)
    {
        var isAnyDirty = false;
        foreach (ref readonly var feed in plan.FeedsOf(message).AsSpan())
        {
            isAnyDirty |= Put(feed.Node, feed.Operand, double.NaN);
        }

        changedCount = 0;
        return isAnyDirty && EvaluateDirty();
    }

    // Equals, unlike ==, finds NaN equal to NaN.
    private bool Put(int node, int operand, double value)
    {
        ref var place = ref operands[node][operand];
        if (place.Equals(value))
        {
            return false;
        }

        place = value;
        return isDirty[node] = true;
    }

    private bool EvaluateDirty()
    {
        foreach (var n in plan.Order)
        {
            if (!isDirty[n])
            {
                continue;
            }

            isDirty[n] = false;
            var value = plan.Nodes[n].Expression.Evaluate(operands[n]);
            if (value.Equals(values[n]))
            {
                continue;
            }

            values[n] = value;
            if (n < plan.Count)
            {
                changed[changedCount++] = n;
            }

            foreach (var (reader, operand) in plan.Nodes[n].Readers)
            {
                _ = Put(reader, operand, value);
            }
        }

        return changedCount > 0;
    }
}
