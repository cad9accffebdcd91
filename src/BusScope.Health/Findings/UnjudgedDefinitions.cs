using System.Globalization;
using BusScope.Health.Tracking;

namespace BusScope.Health.Findings;

/// <summary>What stands in the definitions and decided nothing, so that nobody takes a verdict for an answer to it.</summary>
internal sealed class UnjudgedDefinitions(SessionTrack session, FindingList findings)
{
    /// <summary>Adds the notes.</summary>
    public void Tell()
    {
        NotAwaited();
        foreach (var sequence in session.Plan.Definitions.Sequences)
        {
            NotEvaluated("sequence", sequence.Name);
        }

        foreach (var relay in session.Plan.Definitions.Relays)
        {
            NotEvaluated("relay", relay.Name);
        }
    }

    // A message that may come when it likes is never missing; that a file has many of them, and none came, is worth knowing.
    private void NotAwaited()
    {
        var absent = session.Messages.Where(message => message.Tracks.Count == 0 && message.Unseen is null).ToList();
        if (absent.Count > 0)
        {
            findings.Add(new Finding(
                FindingCodes.NotAwaited,
                FindingSeverity.Note,
                string.Create(CultureInfo.InvariantCulture, $"{absent.Count} {(absent.Count == 1 ? "message" : "messages")} never came, and nothing says that {(absent.Count == 1 ? "it" : "they")} should: no period, or on-change alone: {NameList.Of(absent)}"))
            {
                Count = absent.Count,
            });
        }
    }

    private void NotEvaluated(string what, string name) =>
        findings.Add(new Finding(FindingCodes.NotEvaluated, FindingSeverity.Note, $"the {what} {name} is read but not judged by this version"));
}
