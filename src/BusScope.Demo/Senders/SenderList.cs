using BusScope.Demo.Car;
using BusScope.Demo.Stories;
using BusScope.Signals.Definitions;
using BusScope.Signals.Plans;

namespace BusScope.Demo.Senders;

/// <summary>Who sends what in a story: every message of the definitions by its module, with the story's faults.</summary>
internal static class SenderList
{
    /// <summary>The senders, and the index of the bus that each sends on.</summary>
    public static (MessageSender[] Senders, ushort[] Lines) For(StoryPlan story, Dunlin car, ulong seed)
    {
        var network = story.Network;
        var busNames = network.Buses.Select(b => b.Name).ToList();
        var senders = new List<MessageSender>();
        var lines = new List<ushort>();
        foreach (var plan in network.Plan.Messages)
        {
            var message = plan.Definition;
            var faults = story.Faults.Where(f => f.Message == message.Name).ToList();
            if (faults.OfType<MessageFault.Absent>().Any() || IsUnplugged(story, message))
                continue;
            Add(plan, network.Send(message), faults);
            foreach (var second in faults.OfType<MessageFault.SecondSender>())
                Add(plan, network.Send(message) with { Module = second.Module }, []);
        }

        return ([.. senders], [.. lines]);

        void Add(MessagePlan plan, Sending sending, IReadOnlyList<MessageFault> faults)
        {
            var module = car.Modules.First(m => m.Name == sending.Module);
            var content = new FrameContent(plan, network, faults, SeededRandom.For(seed, $"noise of {module.Name}/{plan.Definition.Name}"));
            senders.Add(new MessageSender(plan.Definition, sending, module, content, senders.Count, faults, seed));
            lines.Add((ushort)(plan.Definition.Bus is { } bus ? busNames.IndexOf(bus) : 0));
        }
    }

    private static bool IsUnplugged(StoryPlan story, MessageDefinition message) =>
        !story.Condition.RacePlugIsIn && message is { Bus: "race", From: "engine-controller" };
}
