using BusScope.Health.Tracking;
using BusScope.Signals.Definitions;

namespace BusScope.Health.Findings;

/// <summary>Says of each module whether it gets what it lives on, and whether it runs itself.</summary>
/// <param name="session">What was tracked.</param>
/// <param name="findings">What was found about messages and buses; findings about modules are added.</param>
/// <param name="wrongBus">What came on another bus.</param>
/// <param name="judgements">One for each message.</param>
/// <param name="mayBeGo">Whether the session can vouch for anything.</param>
internal sealed class ModuleJudge(SessionTrack session, FindingList findings, WrongBusSearch wrongBus, IReadOnlyList<MessageJudgement> judgements, bool mayBeGo)
{
    private static readonly int StateCount = Enum.GetValues<MessageState>().Length;

    /// <summary>In the order of the definitions.</summary>
    public IReadOnlyList<ModuleHealth> Judge() => [.. session.Plan.Definitions.Modules.Select(Judge)];

    private ModuleHealth Judge(ModuleDefinition module, int index)
    {
        var alive = session.Needs.AliveOf(index) is var own and >= 0 ? judgements[own] : null;
        var states = new int[StateCount];
        MessageJudgement? worst = null;
        var (isStarved, isJudged) = (false, true);
        foreach (var message in session.Needs.Of(index))
        {
            var judgement = judgements[message];
            if (judgement.State is { } state)
            {
                states[(int)state]++;
            }

            isStarved |= findings.WorstOf(judgement.Message) == FindingSeverity.Fault;
            isJudged &= !findings.LeaveOpen(judgement);
            worst = worst is null || Rank(judgement).CompareTo(Rank(worst)) > 0 ? judgement : worst;
        }

        var (isGone, isProved) = (IsSilent(module, alive), IsProvedAlive(alive));
        var verdict = isGone || isStarved ? Verdict.NoGo
            : !mayBeGo || !isJudged || !isProved ? Verdict.Inconclusive
            : Verdict.Go;
        if (worst is null && alive is null)
        {
            findings.Add(new Finding(FindingCodes.ModuleNeedsNothing, FindingSeverity.Note, $"nothing is known that {module.Title} needs: it is not judged by anything") { Modules = [module.Name] });
        }

        return new ModuleHealth(module, verdict)
        {
            States = states,
            // What the verdict is made of, before what is merely not as it should be.
            Worst = isGone || (!isProved && !isStarved && isJudged) ? alive?.Row : worst?.Row,
            Alive = alive?.State,
        };
    }

    // A module whose own message cannot come because its bus is silent is not proved to run.
    private static bool IsProvedAlive(MessageJudgement? alive) =>
        alive is null || (alive.IsJudged && alive.State is not (MessageState.Stale or MessageState.Missing));

    private (bool IsFault, bool IsOpen, int Severity, int State) Rank(MessageJudgement judgement) =>
        (findings.WorstOf(judgement.Message) == FindingSeverity.Fault, findings.LeaveOpen(judgement), (int?)findings.WorstOf(judgement.Message) ?? -1, judgement.State is { } state ? MessageJudgement.RankOf(state) : -1);

    private bool IsSilent(ModuleDefinition module, MessageJudgement? alive)
    {
        if (alive is not { State: MessageState.Stale or MessageState.Missing } || findings.WorstOf(alive.Message) is null or FindingSeverity.Note
            || (!alive.IsRecorded && findings.WorstOf(alive.Message) != FindingSeverity.Fault))
        {
            return false;
        }

        // The bus tells it already, or it came elsewhere: then the module runs.
        if (wrongBus.Claims(alive.Message) || session.Places.TrackOf(alive.Message) is not { } bus || session.IsSilent(bus, session.Now))
        {
            return false;
        }

        var last = alive.Message.Tracks.Count == 0 ? "never came" : $"stopped at {findings.Moment(alive.Message.Tracks[^1].Last)}";
        findings.Add(new Finding(FindingCodes.ModuleSilent, FindingSeverity.Fault, $"{module.Title} itself is gone: its own message {alive.Message.Definition.Name} {last}")
        {
            Bus = bus.Bus.Name,
            Message = alive.Message.Definition.Name,
            Modules = [module.Name],
            At = alive.Message.Tracks.Count == 0 ? session.Start : alive.Message.Tracks[^1].Last,
        });
        return true;
    }
}
