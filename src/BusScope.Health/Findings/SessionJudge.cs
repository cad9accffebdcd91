using BusScope.Health.Tracking;

namespace BusScope.Health.Findings;

/// <summary>The answer for the car as a whole. What was seen to be wrong wins over what could not be seen.</summary>
internal sealed class SessionJudge(SessionTrack session, FindingList findings, Recordings recordings, IReadOnlyList<MessageJudgement> judgements, string? interruption)
{
    /// <summary>The verdict; the reasons why it cannot be GO are added to the findings.</summary>
    public Verdict Judge(IReadOnlyList<ModuleHealth> modules, bool isFinal)
    {
        // Where frames are missing, nobody knows what else is.
        var isConclusive = recordings.AreWhole;
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
            new UnjudgedMessages(session, findings).Tell(judgements);
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
                || judgements.Any(judgement => findings.LeaveOpen(judgement) && session.Needs.IsNeeded(judgement.Message.Definition)) ? Verdict.Inconclusive
            : Verdict.Go;
    }
}
