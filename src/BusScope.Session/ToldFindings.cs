using BusScope.Health;
using BusScope.Health.Findings;

namespace BusScope.Session;

/// <summary>
/// Which findings were told as events already. Each is told once, and once more when it becomes a fault. Notes are no events: they say
/// something of the definitions or of the source, not of what happened. Bounded: what is found beyond stands in the report alone.
/// </summary>
internal sealed class ToldFindings
{
    /// <summary>The most findings told.</summary>
    public const int Capacity = 4_000;

    // What is told when a state changes, with the moment of the change, is not told again.
    private static readonly string[] ToldByStates = [FindingCodes.MessageMissing, FindingCodes.MessageStopped, FindingCodes.MessageStale, FindingCodes.BusSilent];

    private readonly Dictionary<Key, FindingSeverity> told;

    /// <summary>Nothing told yet.</summary>
    public ToldFindings()
        : this([])
    {
    }

    private ToldFindings(Dictionary<Key, FindingSeverity> told) => this.told = told;

    /// <summary>The same, which goes on by itself.</summary>
    public ToldFindings Copy() => new(new Dictionary<Key, FindingSeverity>(told));

    /// <summary>Adds an event for each finding that was not told yet.</summary>
    /// <param name="report">What was found.</param>
    /// <param name="isFirst">Whether no state was known before, so that nothing was told when it changed.</param>
    /// <param name="events">Where the events go.</param>
    public void Tell(HealthReport report, bool isFirst, List<SessionEvent> events)
    {
        foreach (var finding in report.Findings)
        {
            var key = new Key(finding.Code, finding.Message, finding.Signal, finding.Bus);
            var isKnown = told.TryGetValue(key, out var severity);
            if (finding.Severity == FindingSeverity.Note || (isKnown ? finding.Severity <= severity : told.Count == Capacity))
            {
                continue;
            }

            told[key] = finding.Severity;
            if (isFirst || Array.IndexOf(ToldByStates, finding.Code) < 0)
            {
                events.Add(SessionEvent.Of(finding, report));
            }
        }
    }

    private readonly record struct Key(string Code, string? Message, string? Signal, string? Bus);
}
