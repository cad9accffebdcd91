using BusScope.Demo.Stories;

namespace BusScope.Demo;

/// <summary>A story of the Dunlin.</summary>
/// <param name="Name">What stands after <c>demo:</c>.</param>
/// <param name="Title">A few words.</param>
/// <param name="Text">The story in a sentence.</param>
/// <param name="Finds">What BusScope should find.</param>
public sealed record DemoStory(string Name, string Title, string Text, string Finds)
{
    /// <summary>The built-in definition files that describe its buses.</summary>
    public IReadOnlyList<string> DefinitionFiles { get; init; } = DemoDefinitions.DunlinFiles;
}

/// <summary>All stories.</summary>
public static class DemoStories
{
    /// <summary>In the order in which they are listed.</summary>
    public static IReadOnlyList<DemoStory> All { get; } = [.. StoryPlans.All.Select(p => p.Story)];
}
