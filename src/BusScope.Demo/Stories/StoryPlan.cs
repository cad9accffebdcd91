using BusScope.Demo.Car;
using BusScope.Demo.Senders;

namespace BusScope.Demo.Stories;

/// <summary>How a story is staged: script, condition of the car, faults.</summary>
/// <param name="Story">What a person reads of it.</param>
/// <param name="Script">What the driver does.</param>
internal sealed record StoryPlan(DemoStory Story, Script Script)
{
    /// <summary>The car at its beginning.</summary>
    public Condition Condition { get; init; } = new();

    /// <summary>What goes wrong with its messages.</summary>
    public IReadOnlyList<MessageFault> Faults { get; init; } = [];

    /// <summary>What talks on its buses.</summary>
    public Network Network { get; init; } = Network.Dunlin;

    /// <summary>The bus on which nobody acknowledges, or null.</summary>
    public string? LoneBus { get; init; }
}
