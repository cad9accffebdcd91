using BusScope.Frames.Diagnostics;
using BusScope.Signals.Definitions;

namespace BusScope.Signals.Loading;

/// <summary>The outcome of loading definition files.</summary>
/// <param name="Definitions">The set, or null where an error stands among the diagnostics.</param>
/// <param name="Diagnostics">All faults at once, by file and line.</param>
public sealed record LoadResult(DefinitionSet? Definitions, IReadOnlyList<Diagnostic> Diagnostics);

/// <summary>Reads definition files: YAML to a checked <see cref="DefinitionSet"/>.</summary>
public static class DefinitionLoader
{
    /// <summary>Loads files and folders (a folder's <c>*.yaml</c> and <c>*.yml</c>, by name), merged into one set.</summary>
    public static LoadResult Load(IReadOnlyList<string> paths) => throw new NotImplementedException(paths.Count.ToString());

    /// <summary>Loads one text, for tests and built-in definitions.</summary>
    public static LoadResult LoadText(string text, string fileName) => throw new NotImplementedException(text + fileName);
}
