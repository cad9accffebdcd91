using BusScope.Health;
using BusScope.Signals.Definitions;

namespace BusScope.Reports.Against;

/// <summary>How the definitions of two checks differ, as far as their results tell: then they did not look at the same.</summary>
/// <param name="NoLonger">Messages that are not defined any more.</param>
/// <param name="New">Messages that were not defined.</param>
/// <param name="Changed">Messages of both with another period, or a counter or checksum in one of them only.</param>
public sealed record DefinitionChange(int NoLonger, int New, int Changed)
{
    /// <summary>Compares; null where they are the same, or the earlier result does not list its messages.</summary>
    internal static DefinitionChange? Between(EarlierCheck earlier, HealthReport report)
    {
        if (earlier.Messages is not { } messages)
        {
            return null;
        }

        var before = messages.DistinctBy(message => message.Name).ToDictionary(message => message.Name, StringComparer.Ordinal);
        var now = report.Messages.Select(message => message.Definition).OfType<MessageDefinition>().DistinctBy(message => message.Name).ToList();
        var both = now.Where(message => before.ContainsKey(message.Name)).ToList();
        var change = new DefinitionChange(before.Count - both.Count, now.Count - both.Count, both.Count(message => before[message.Name] != EarlierMessage.Of(message)));
        return change is { NoLonger: 0, New: 0, Changed: 0 } ? null : change;
    }
}
