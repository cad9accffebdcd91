using BusScope.Frames;
using BusScope.Health.Tracking;

namespace BusScope.Health.Findings;

/// <summary>Makes a report of what was tracked: the same way for a live view and for the final answer of a check.</summary>
internal sealed class ReportBuilder
{
    private readonly SessionTrack session;
    private readonly bool isFinal;
    private readonly string? interruption;
    private readonly Recordings recordings;
    private readonly FindingList findings;
    private readonly FrameTime now;

    /// <summary>A report of this moment. Everything must have been flushed.</summary>
    public ReportBuilder(SessionTrack session, bool isFinal, string? interruption)
    {
        this.session = session;
        this.isFinal = isFinal;
        this.interruption = interruption;
        now = session.Now;
        recordings = new Recordings(session, now, isFinal);
        findings = new FindingList(session, recordings);
    }

    /// <summary>The report.</summary>
    public HealthReport Build()
    {
        var wrongBus = new WrongBusSearch(session);
        var judgements = new MessageJudge(session, findings, recordings, wrongBus, now, isFinal).Judge();
        recordings.Report(findings);
        new BusFindings(session, findings, recordings, wrongBus, now).Find(isFinal);
        var modules = new ModuleJudge(session, findings, wrongBus, judgements, MayBeGo && judgements.Any(judgement => judgement.SaysAnything)).Judge();
        var verdict = new SessionJudge(session, findings, recordings, judgements, interruption).Judge(modules, isFinal);
        var sorted = findings.Sorted();
        return new HealthReport(verdict)
        {
            Now = now.IsKnown ? now : null,
            First = session.Earliest.IsKnown ? session.Earliest : null,
            Frames = session.Frames,
            Judged = Count(judgements),
            Interruption = interruption,
            Buses = new BusRows(session, now, isFinal).Rows(),
            Modules = modules,
            Messages = new MessageRows(session, findings, now, isFinal).Rows(),
            Findings = sorted,
        };
    }

    private static JudgedMessages Count(IReadOnlyList<MessageJudgement> judgements)
    {
        var (time, content, neither) = (0, 0, 0);
        foreach (var judgement in judgements)
        {
            var (byTime, byContent) = (judgement.ByTime, judgement.ByContent);
            time += byTime ? 1 : 0;
            content += byContent ? 1 : 0;
            neither += byTime || byContent ? 0 : 1;
        }

        return new JudgedMessages(judgements.Count, time, content, neither);
    }

    private bool MayBeGo => interruption is null && session.Frames > 0;
}
