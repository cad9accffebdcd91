using BusScope.Frames;
using BusScope.Health.Tracking;

namespace BusScope.Health.Findings;

/// <summary>Messages to which the same happened at the same time, from more than one sender: a state of the car, or what they all come through.</summary>
internal static class Together
{
    // One module may wake late, or die, with what it sends. This program's choice.
    private const int Fewest = 8;
    private static readonly FrameSpan LongestApart = FrameSpan.FromMilliseconds(500);

    /// <summary>Those of the messages that fall together, in order of time; those under one condition, and those under none, by themselves.</summary>
    /// <param name="messages">The messages, in any order.</param>
    /// <param name="when">When it happened to each.</param>
    public static List<List<DefinedMessage>> Of(IEnumerable<DefinedMessage> messages, Func<DefinedMessage, FrameTime> when) =>
        [.. messages.GroupBy(message => message.Condition).SelectMany(alike => AtOneTime(alike, when))];

    private static List<List<DefinedMessage>> AtOneTime(IEnumerable<DefinedMessage> messages, Func<DefinedMessage, FrameTime> when)
    {
        var groups = new List<List<DefinedMessage>>();
        foreach (var message in messages.OrderBy(when))
        {
            if (groups.Count == 0 || when(message) - when(groups[^1][^1]) > LongestApart)
            {
                groups.Add([]);
            }

            groups[^1].Add(message);
        }

        groups.RemoveAll(group => group.Count < Fewest || AreOfOneSender(group));
        return groups;
    }

    /// <summary>Whether they are known to have one sender, which is at fault by itself then.</summary>
    public static bool AreOfOneSender(List<DefinedMessage> group) =>
        group.TrueForAll(message => message.Definition.From is not null) && !group.DistinctBy(message => message.Definition.From).Skip(1).Any();
}
