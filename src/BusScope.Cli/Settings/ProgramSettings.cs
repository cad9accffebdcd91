namespace BusScope.Cli.Settings;

/// <summary>What the settings file says. What it does not say is null, and the command line goes before it.</summary>
internal sealed record ProgramSettings
{
    /// <summary><c>metric</c> or <c>us</c>.</summary>
    public string? Units { get; init; }

    /// <summary>Pictures a second.</summary>
    public int? Refresh { get; init; }

    /// <summary>Nothing beyond ASCII on the screen.</summary>
    public bool? Ascii { get; init; }

    /// <summary>Signals of the watch list.</summary>
    public IReadOnlyList<string> Watch { get; init; } = [];

    /// <summary>Signals of the trace.</summary>
    public IReadOnlyList<string> Trace { get; init; } = [];

    /// <summary>What is wrong with the file, a sentence each, with the line.</summary>
    public IReadOnlyList<string> Faults { get; init; } = [];
}
