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

    /// <summary>
    /// The same, where frames alone tell when it was. In order of time, and behind them those whose period is so long that the same moment may be
    /// theirs: their last frame came up to a period before it, or their first one up to a period after it.
    /// </summary>
    /// <param name="messages">The messages, in any order.</param>
    /// <param name="when">When the frame came that tells it of each.</param>
    /// <param name="isEnding">Whether that is the last frame; otherwise it is the first.</param>
    public static List<List<DefinedMessage>> Of(IReadOnlyCollection<DefinedMessage> messages, Func<DefinedMessage, FrameTime> when, bool isEnding)
    {
        var groups = Of(messages, when);
        var others = messages.Except(groups.SelectMany(group => group)).ToList();
        foreach (var group in groups)
        {
            var time = when(isEnding ? group[0] : group[^1]);
            var slow = others.FindAll(message => message.Condition == group[0].Condition && MayBe(message, time));
            group.AddRange(slow);
            others.RemoveAll(slow.Contains);
        }

        return groups;

        bool MayBe(DefinedMessage message, FrameTime time)
        {
            var off = isEnding ? time - when(message) : when(message) - time;
            return off >= FrameSpan.Zero && off <= message.Definition.Timing.LateAfter;
        }
    }

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
