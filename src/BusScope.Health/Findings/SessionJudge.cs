using BusScope.Health.Tracking;

namespace BusScope.Health.Findings;

/// <summary>The answer for the car as a whole. What was seen to be wrong wins over what could not be seen.</summary>
internal sealed class SessionJudge(SessionTrack session, FindingList findings, IReadOnlyList<MessageJudgement> judgements, string? interruption)
{
    /// <summary>The verdict; the reasons why it cannot be GO are added to the findings.</summary>
    public Verdict Judge(IReadOnlyList<ModuleHealth> modules, bool isFinal)
    {
        var isConclusive = true;
        if (interruption is not null)
        {
            isConclusive = false;
            findings.Add(new Finding(FindingCodes.SourceCut, FindingSeverity.Note, $"the source ended before its time: {interruption}"));
        }

        if (session.Frames == 0)
        {
            isConclusive = false;
            if (isFinal)
            {
                findings.Add(new Finding(FindingCodes.NoFrames, FindingSeverity.Note, "no frame came at all"));
            }
        }
        else if (isFinal)
        {
            NotJudged();
            new UnjudgedDefinitions(session, findings).Tell();
        }

        if (!judgements.Any(judgement => judgement.SaysAnything))
        {
            isConclusive = false;
            if (isFinal && session.Frames > 0 && !session.Messages.Any(message => message.Expectations().Any()))
            {
                findings.Add(new Finding(FindingCodes.NothingExpected, FindingSeverity.Note, "no definition expects anything of what came"));
            }
        }

        return findings.All.Any(finding => finding.Severity == FindingSeverity.Fault) ? Verdict.NoGo
            : !isConclusive
                || modules.Any(module => module.Verdict == Verdict.Inconclusive)
                || judgements.Any(judgement => IsOpen(judgement) && session.Needs.IsNeeded(judgement.Message.Definition)) ? Verdict.Inconclusive
            : Verdict.Go;
    }

    // What is missing was found to be wrong somewhere, or nobody can vouch for it.
    private bool IsOpen(MessageJudgement judgement) =>
        !judgement.IsJudged || (judgement.State == MessageState.Missing && findings.WorstOf(judgement.Message) is null);

    private static string During(DefinedMessage message) => message.Definition.While is { } condition ? $" while {condition.Text}" : "";

    private void NotJudged()
    {
        foreach (var judgement in judgements.Where(judgement => !judgement.IsTimed))
        {
            var message = judgement.Message;
            var expectation = message.Expectations().First();
            var held = expectation.HeldAt(session.Now);
            var reason = !expectation.EverHeld && message.Definition.While is { } condition ? $"its condition {condition.Text} never held. Record while it does, for {expectation.Grace} or longer"
                : message.Tracks.Count == 0 ? $"it was awaited for {held} only. Record {expectation.Grace} or longer{During(message)}"
                : $"it was expected for {held} only. Record {expectation.StaleAfter} or longer{During(message)}";
            findings.Add(message, new Finding(FindingCodes.NotJudged, FindingSeverity.Note, $"{message.Definition.Name} could not be judged: {reason}"));
        }
    }
}
