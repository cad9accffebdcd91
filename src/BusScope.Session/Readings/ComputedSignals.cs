using BusScope.Frames;
using BusScope.Signals.Plans;

namespace BusScope.Session.Readings;

/// <summary>
/// The computed signals. They may read several messages, so that the order of frames counts: each frame is taken in by itself. One thread at a time.
/// </summary>
internal sealed class ComputedSignals
{
    private readonly FollowedSignal?[] signals;
    private ConditionPlan plan;
    private ConditionValues values;

    /// <summary>Signals of which nothing was seen.</summary>
    public ComputedSignals(DefinitionPlan definitions)
    {
        signals = new FollowedSignal?[definitions.Definitions.Computed.Count];
        (plan, values) = Compiled(definitions);
    }

    /// <summary>Goes by a wider plan from now on.</summary>
    public void Widen(DefinitionPlan wider) => (plan, values) = Compiled(wider);

    /// <summary>Whether any of them reads a message.</summary>
    public bool Read(int message) => plan.Reads(message);

    /// <summary>Takes in a data frame of a message that they <see cref="Read"/>.</summary>
    /// <param name="message">Which.</param>
    /// <param name="frame">The frame.</param>
    /// <param name="traces">Where traces come from.</param>
    public void Take(int message, in Frame frame, TraceRoom traces)
    {
        if (!values.Take(message, frame.Data))
        {
            return;
        }

        foreach (var index in values.Changed)
        {
            var value = values[index];
            signals[index] ??= new FollowedSignal(traces.Coarse()) { Fine = TraceRing.Fine() };
            signals[index]!.Take(new Sample(0, value, double.IsNaN(value) ? SampleQuality.NotAvailable : SampleQuality.Ok), frame.Time, null);
        }
    }

    /// <summary>What is known of one; null where it was not met.</summary>
    public FollowedSignal? Signal(int index) => index >= 0 && index < signals.Length ? signals[index] : null;

    private static (ConditionPlan, ConditionValues) Compiled(DefinitionPlan definitions)
    {
        var compiled = new ConditionPlan(definitions, [.. definitions.Definitions.Computed.Select(each => each.Expression)]);
        return (compiled, new ConditionValues(compiled));
    }
}
