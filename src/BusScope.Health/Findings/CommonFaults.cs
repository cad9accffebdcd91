using System.Globalization;
using BusScope.Frames;
using BusScope.Health.Expectations;
using BusScope.Health.Tracking;

namespace BusScope.Health.Findings;

/// <summary>What befell many messages together, and is therefore told once and not against each of them.</summary>
internal abstract class CommonFaults
{
    private readonly List<List<DefinedMessage>> groups;
    private readonly HashSet<DefinedMessage> all;

    /// <summary>Takes what was found to belong together.</summary>
    protected CommonFaults(SessionTrack session, List<List<DefinedMessage>> groups)
    {
        Session = session;
        this.groups = groups;
        all = [.. groups.SelectMany(group => group)];
    }

    /// <summary>What was tracked.</summary>
    protected SessionTrack Session { get; }

    /// <summary>Whether a message is one of them.</summary>
    public bool Holds(DefinedMessage message) => all.Contains(message);

    /// <summary>Says so, once for all that belong together.</summary>
    public void Report(FindingList findings)
    {
        foreach (var group in groups)
        {
            var finding = Of(group, findings);
            group.ForEach(message => findings.Weigh(message, SeverityOf(message)));
            findings.Add(finding with
            {
                Severity = group.Max(SeverityOf),
                Text = $"{finding.Text}: {NameList.Of(group)}",
                Count = group.Count,
                Modules = NameList.Modules(group),
            });
        }
    }

    /// <summary>What it weighs on one of them.</summary>
    protected virtual FindingSeverity SeverityOf(DefinedMessage message) => Session.Needs.SeverityOf(message.Definition);

    /// <summary>Code, text without the names, and times; the rest is filled in.</summary>
    protected abstract Finding Of(List<DefinedMessage> group, FindingList findings);

    /// <summary>How many of how many, of which buses, and under which condition.</summary>
    protected string Who(List<DefinedMessage> group)
    {
        var condition = group[0].Condition;
        var timed = Session.Messages.Count(message => (condition is null || message.Condition == condition) && message.Expectations().Any());
        var buses = string.Join(", ", group.GroupBy(Session.Places.BusOf).OrderBy(of => of.Key, StringComparer.Ordinal).Select(of => string.Create(CultureInfo.InvariantCulture, $"{of.Count()} of {(of.Key.Length == 0 ? "any bus" : $"bus {of.Key}")}")));
        return string.Create(CultureInfo.InvariantCulture, $"{group.Count} of {timed} messages{(condition is null ? "" : $" under {condition.Text}")} ({buses})");
    }

    /// <summary>The shortest and the longest of several times, as a person reads it.</summary>
    protected static string Range(FrameSpan shortest, FrameSpan longest) => $"{shortest}" == $"{longest}" ? $"{longest}" : $"{shortest} to {longest}";

    /// <summary>What else may be the cause of what befell all that is under one condition; nothing where there is none.</summary>
    protected static string OrSaysTheWrongThing(Condition? condition) =>
        condition is null || condition.Tellers.Count == 0 ? ""
            : $", or {condition.Text} is told wrongly by {string.Join(", ", condition.Tellers.Select(teller => teller.Name))}";
}
