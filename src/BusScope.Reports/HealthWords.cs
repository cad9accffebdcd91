using BusScope.Health;

namespace BusScope.Reports;

/// <summary>Small questions that both forms of the report ask.</summary>
internal static class HealthWords
{
    /// <summary>How many of the module's needed messages are in this state.</summary>
    public static int In(this ModuleHealth module, MessageState state) => (int)state < module.States.Count ? module.States[(int)state] : 0;

    /// <summary>How many messages the module needs.</summary>
    public static int Needs(this ModuleHealth module) => module.States.Sum();

    /// <summary>The message's name, or its identifier where no definition claims it.</summary>
    public static string Name(this MessageHealth message) => message.Definition?.Name ?? message.Id?.ToString() ?? "?";
}
