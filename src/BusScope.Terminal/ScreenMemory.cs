namespace BusScope.Terminal;

/// <summary>What a screen remembers from one time to the next.</summary>
public sealed record ScreenMemory
{
    /// <summary>The watch list: signals as <c>Message/Signal</c>, computed ones by their name.</summary>
    public IReadOnlyList<string> Watched { get; init; } = [];

    /// <summary>The signals of the trace, named alike.</summary>
    public IReadOnlyList<string> Traced { get; init; } = [];

    /// <summary>Whether units of everyday use in the United States are shown.</summary>
    public bool IsUs { get; init; }
}
