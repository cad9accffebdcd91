using BusScope.Analysis.Learning.Conditions;
using BusScope.Signals.Definitions;
using BusScope.Signals.Editing;
using BusScope.Signals.Plans;

namespace BusScope.Analysis.Learning.Writing;

/// <summary>
/// A baseline as it goes into a file that is there: what the file says of its other messages must not change what is learned, nor what is learned
/// change what a check expects of those.
/// </summary>
internal static class FittedBaseline
{
    /// <summary>The baseline with the file's name for its bus, and with times beside the file's defaults.</summary>
    public static Baseline To(Baseline baseline, DefinitionSet known, DefinitionOutline outline)
    {
        var fitted = OnlyBusOf(known, baseline) is { } bus ? OnBus(baseline, bus) : baseline;
        return outline.Keys("defaults").Any(key => key is "late-after" or "stale-after")
            ? fitted with { Messages = [.. fitted.Messages.Select(message => message with { Timing = message.Timing with { IsBesideDefaults = true } })] }
            : fitted;
    }

    // The one bus that the file's messages name, where the captures have one bus too and all that is expected came there: a check takes the two for the same,
    // whatever each is called, until messages on a bus of another name part them.
    private static string? OnlyBusOf(DefinitionSet known, Baseline baseline)
    {
        if (baseline.Buses is not [var bus] || known.Messages.Select(message => message.Bus).OfType<string>().Distinct().ToList() is not [var named])
        {
            return null;
        }

        var index = new DefinitionPlan(known).On(bus, onlyBus: true);
        var came = baseline.Messages.Select(message => index.Find(message.Id)).ToHashSet();
        var places = Enumerable.Range(0, known.Messages.Count).ToList();
        return places.Exists(i => came.Contains(i) && known.Messages[i].Bus == named)
            && places.TrueForAll(i => came.Contains(i) || known.Messages[i] is { Timing.Every: null } or { While: not null }) ? named : null;
    }

    private static Baseline OnBus(Baseline baseline, string bus)
    {
        // Messages that depend on the same condition share it.
        var conditions = baseline.Messages.Select(message => message.Condition).OfType<LearnedCondition>().Distinct()
            .ToDictionary(condition => condition, condition => condition with { Bits = [.. condition.Bits.Select(bit => bit with { Bus = bus })] });
        return baseline with { Messages = [.. baseline.Messages.Select(message => message with { Bus = bus, Condition = message.Condition is { } condition ? conditions[condition] : null })] };
    }
}
