using System.Globalization;
using BusScope.Frames;
using BusScope.Health.Tracking;

namespace BusScope.Health.Findings;

/// <summary>Messages that are late at the end only because the last frame of their bus came some time before it, as where adapters do not stop in one moment: told once for the bus.</summary>
internal sealed class QuietEnds
{
    private readonly Dictionary<BusTrack, List<DefinedMessage>> late = [];

    /// <summary>Whether a message that is late at the end was in time when its bus was heard last: then it is told with the others.</summary>
    public bool Takes(DefinedMessage message, MessageTrack track)
    {
        if (track.Expectation!.StateAt(track.Bus.Latest) == MessageState.Late)
        {
            return false;
        }

        if (!late.TryGetValue(track.Bus, out var messages))
        {
            late.Add(track.Bus, messages = []);
        }

        messages.Add(message);
        return true;
    }

    /// <summary>Says so, once for each bus.</summary>
    public void Report(FindingList findings, FrameTime end)
    {
        foreach (var (bus, messages) in late)
        {
            messages.ForEach(message => findings.Weigh(message, FindingSeverity.Note));
            findings.Add(new Finding(
                FindingCodes.MessageLate,
                FindingSeverity.Note,
                string.Create(CultureInfo.InvariantCulture, $"the last frame of bus {bus.Bus.Name} came {bus.Recorded(end) - bus.Latest} before the end, where {messages.Count} {(messages.Count == 1 ? "message is" : "messages are")} late because of it: {NameList.Of(messages)}"))
            {
                Bus = bus.Bus.Name,
                At = bus.Latest,
                Count = messages.Count,
                Modules = NameList.Modules(messages),
            });
        }
    }
}
