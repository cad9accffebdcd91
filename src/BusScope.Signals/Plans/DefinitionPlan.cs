using BusScope.Frames;
using BusScope.Signals.Definitions;

namespace BusScope.Signals.Plans;

/// <summary>A definition set compiled for running: every message's plan, and which frames belong to which.</summary>
public sealed class DefinitionPlan
{
    /// <summary>Compiles a set that the loader accepted.</summary>
    public DefinitionPlan(DefinitionSet definitions) => Definitions = definitions;

    /// <summary>What it was compiled from.</summary>
    public DefinitionSet Definitions { get; }

    /// <summary>One for each message of the set, in its order.</summary>
    public IReadOnlyList<MessagePlan> Messages { get; } = [];

    /// <summary>The message that frames of this identifier on this bus are instances of: by identifier, else by parameter group.</summary>
    /// <param name="bus">The name of the bus in the source.</param>
    /// <param name="onlyBus">Whether the source has no other bus, so that messages of any one bus may match when names differ.</param>
    /// <param name="id">The identifier.</param>
    /// <returns>An index into <see cref="Messages"/>, or -1.</returns>
    public int Find(string bus, bool onlyBus, CanId id) => throw new NotImplementedException();

    /// <summary>Finds a signal by <c>Message/Signal</c>, or by its own name where that is unique.</summary>
    /// <returns>Indexes of message and signal, or null.</returns>
    public (int Message, int Signal)? FindSignal(string name) => throw new NotImplementedException();
}
