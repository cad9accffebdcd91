using BusScope.Demo.Car;
using BusScope.Demo.Stories;
using BusScope.Frames;
using BusScope.Signals.Definitions;

namespace BusScope.Demo.Senders;

/// <summary>Who sends what in a story: every message of the definitions by its module, with the story's faults.</summary>
internal static class SenderList
{
    /// <summary>The senders, and the index of the bus that each sends on.</summary>
    public static (MessageSender[] Senders, ushort[] Lines) For(StoryPlan story, Dunlin car, IReadOnlyList<Bus> buses, ulong seed)
    {
        var senders = new List<MessageSender>();
        var lines = new List<ushort>();
        foreach (var message in DemoDefinitions.Definitions.Messages)
        {
            var line = buses.Select(b => b.Name).ToList().IndexOf(message.Bus!);
            var faults = story.Faults.Where(f => f.Message == message.Name).ToList();
            if (line < 0 || faults.OfType<MessageFault.Absent>().Any() || IsUnplugged(story, message))
                continue;
            Add(message, message.From!, faults);
            foreach (var second in faults.OfType<MessageFault.SecondSender>())
                Add(message, second.Module, []);

            void Add(MessageDefinition sent, string module, IReadOnlyList<MessageFault> faulty)
            {
                senders.Add(new MessageSender(sent, car.Modules.First(m => m.Name == module), senders.Count, faulty, seed));
                lines.Add((ushort)line);
            }
        }

        return ([.. senders], [.. lines]);
    }

    private static bool IsUnplugged(StoryPlan story, MessageDefinition message) =>
        !story.Condition.RacePlugIsIn && message is { Bus: "race", From: "engine-controller" };
}
