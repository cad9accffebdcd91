using BusScope.Session.Readings;
using BusScope.Signals.Plans;

namespace BusScope.Terminal.Screens;

/// <summary>
/// Between what was remembered by name and what is chosen here. Names that the present definitions do not have are kept for
/// the definitions that do.
/// </summary>
internal sealed class Remembering
{
    private readonly List<string> otherWatched = [];
    private readonly List<string> otherTraced = [];

    /// <summary>Takes what was remembered into a choice.</summary>
    public Remembering(ScreenMemory memory, DefinitionPlan plan, Choice choice)
    {
        choice.IsUs = memory.IsUs;
        Take(memory.Watched, plan, choice.Watched, otherWatched, int.MaxValue);
        Take(memory.Traced, plan, choice.Traced, otherTraced, Choice.MostTraced);
        var known = memory.Traced.Distinct().Count(name => Find(name, plan) is not null);
        LeftOut = known > Choice.MostTraced ? $"{known} signals are named for the trace, which has room for {Choice.MostTraced}: the first are shown" : null;
        choice.WatchedVersion++;
    }

    /// <summary>What of it has no room here, in one sentence; or null. It is remembered all the same.</summary>
    public string? LeftOut { get; private set; }

    /// <summary>What is to be remembered of a choice.</summary>
    /// <param name="choice">The choice.</param>
    /// <param name="plan">What its signals are of.</param>
    public ScreenMemory Of(Choice choice, DefinitionPlan plan) => new()
    {
        Watched = [.. choice.Watched.Select(key => NameOf(key, plan)), .. otherWatched],
        Traced = [.. choice.Traced.Select(key => NameOf(key, plan)), .. otherTraced],
        IsUs = choice.IsUs,
    };

    private static void Take(IReadOnlyList<string> names, DefinitionPlan plan, List<SignalKey> known, List<string> others, int most)
    {
        foreach (var name in names)
        {
            if (Find(name, plan) is not { } key)
            {
                others.Add(name);
            }
            else if (!known.Contains(key))
            {
                if (known.Count < most)
                {
                    known.Add(key);
                }
                else
                {
                    others.Add(name);
                }
            }
        }
    }

    private static SignalKey? Find(string name, DefinitionPlan plan) =>
        plan.FindSignal(name) is var (message, signal) ? new SignalKey(message, signal)
        : plan.FindComputed(name) is var computed and >= 0 ? new SignalKey(-1, computed)
        : null;

    private static string NameOf(SignalKey key, DefinitionPlan plan) => key.IsComputed
        ? plan.Definitions.Computed[key.Signal].Name
        : $"{plan.Messages[key.Message].Definition.Name}/{plan.Messages[key.Message].Signals[key.Signal].Definition.Name}";
}
