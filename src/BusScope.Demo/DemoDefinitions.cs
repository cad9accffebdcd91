using BusScope.Signals.Definitions;
using BusScope.Signals.Loading;

namespace BusScope.Demo;

/// <summary>The definition files of the Dunlin, built into the program: the very files of the folder signal-defs.</summary>
public static class DemoDefinitions
{
    private static readonly Lazy<DefinitionSet> definitions = new(() =>
        Load().Definitions ?? throw new InvalidOperationException("the built-in definitions do not load"));

    /// <summary>Their names, in the order in which they are loaded.</summary>
    public static IReadOnlyList<string> FileNames { get; } = ["dunlin-chassis.yaml", "dunlin-cabin.yaml", "dunlin-race.yaml"];

    /// <summary>Loaded once.</summary>
    internal static DefinitionSet Definitions => definitions.Value;

    /// <summary>The text of one of <see cref="FileNames"/>.</summary>
    public static string Text(string fileName)
    {
        using var stream = typeof(DemoDefinitions).Assembly.GetManifestResourceStream(fileName)
            ?? throw new ArgumentException($"there is no built-in definition file {fileName}", nameof(fileName));
        using var reader = new StreamReader(stream);
        return reader.ReadToEnd();
    }

    /// <summary>Loads them as one set, by the same way as a user's files.</summary>
    public static LoadResult Load() => DefinitionLoader.LoadTexts([.. FileNames.Select(name => new SourceText(name, Text(name)))]);
}
