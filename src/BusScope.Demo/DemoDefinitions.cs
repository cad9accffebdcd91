using BusScope.Signals.Loading;

namespace BusScope.Demo;

/// <summary>The definition files of the stories, built into the program: the very files of the folder signal-defs.</summary>
public static class DemoDefinitions
{
    /// <summary>The files of the Dunlin, which belong together.</summary>
    public static IReadOnlyList<string> DunlinFiles { get; } = ["dunlin-chassis.yaml", "dunlin-cabin.yaml", "dunlin-race.yaml"];

    /// <summary>The text of a built-in file.</summary>
    /// <exception cref="ArgumentException">There is no such file.</exception>
    public static string Text(string fileName)
    {
        using var stream = typeof(DemoDefinitions).Assembly.GetManifestResourceStream(fileName)
            ?? throw new ArgumentException($"there is no built-in definition file {fileName}", nameof(fileName));
        using var reader = new StreamReader(stream);
        return reader.ReadToEnd();
    }

    /// <summary>Loads the Dunlin's files as one set, by the same way as a user's files.</summary>
    public static LoadResult Load() => Load(DunlinFiles);

    /// <summary>Loads the files that describe a story's buses.</summary>
    public static LoadResult LoadFor(DemoStory story)
    {
        ArgumentNullException.ThrowIfNull(story);
        return Load(story.DefinitionFiles);
    }

    internal static LoadResult Load(IReadOnlyList<string> fileNames) =>
        DefinitionLoader.LoadTexts([.. fileNames.Select(name => new SourceText(name, Text(name)))]);
}
