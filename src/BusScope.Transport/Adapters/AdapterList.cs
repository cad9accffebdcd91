namespace BusScope.Transport.Adapters;

/// <summary>Everything that can be listened to here, or could be.</summary>
/// <param name="Adapters">One by one.</param>
public sealed record AdapterList(IReadOnlyList<Adapter> Adapters)
{
    /// <summary>What is wrong with all of them together; empty where nothing is.</summary>
    public IReadOnlyList<string> Notes { get; init; } = [];

    /// <summary>What to type about it, line by line.</summary>
    public IReadOnlyList<string> Commands { get; init; } = [];
}
