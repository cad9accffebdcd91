using BusScope.Frames;
using BusScope.Signals.Expressions;
using BusScope.Signals.Plans;
using BusScope.Transport.Recording;

namespace BusScope.Session.Recording;

/// <summary>
/// A recording that waits until an expression over the defined signals holds (docs/expressions.md): the frame that makes it true
/// is the trigger. Allocates nothing per frame.
/// </summary>
public sealed class ConditionTrigger : IRecordingTrigger
{
    private readonly DefinitionPlan plan;
    private readonly ConditionPlan condition;
    private readonly ConditionValues values;
    private MessageIndex[] indexes = [];

    /// <summary>Waits for an expression.</summary>
    /// <param name="plan">The definitions of its signals.</param>
    /// <param name="expression">The expression, whose names are all defined.</param>
    public ConditionTrigger(DefinitionPlan plan, Expression expression)
    {
        ArgumentNullException.ThrowIfNull(plan);
        ArgumentNullException.ThrowIfNull(expression);
        this.plan = plan;
        condition = new ConditionPlan(plan, [expression]);
        values = new ConditionValues(condition);
    }

    /// <summary>The names of an expression that are neither signals nor named values.</summary>
    public static IReadOnlyList<string> UnknownNames(DefinitionPlan plan, Expression expression) =>
        [.. ExpressionBinding.Bind(plan, expression).Index().Where(bound => bound.Item.Kind == OperandKind.Unknown).Select(bound => expression.References[bound.Index].Name)];

    /// <inheritdoc/>
    public int Find(FrameBatch batch, IReadOnlyList<Bus> buses)
    {
        ArgumentNullException.ThrowIfNull(batch);
        ArgumentNullException.ThrowIfNull(buses);
        if (indexes.Length != buses.Count)
        {
            indexes = [.. buses.Select(bus => plan.On(bus.Name, buses.Count == 1))];
        }

        var frames = batch.Frames;
        for (var i = 0; i < frames.Length; i++)
        {
            ref readonly var frame = ref frames[i];
            if (frame.CarriesData && indexes[frame.Bus].Find(frame.Id) is var message and >= 0 && condition.Reads(message))
            {
                _ = values.Take(message, frame.Data);
            }

            if (values.Holds(0) == true)
            {
                return i;
            }
        }

        return -1;
    }
}
