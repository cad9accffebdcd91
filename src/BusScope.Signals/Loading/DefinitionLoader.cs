using BusScope.Frames.Diagnostics;
using BusScope.Signals.Definitions;
using BusScope.Signals.Loading.Binding;
using BusScope.Signals.Loading.Checking;
using BusScope.Signals.Loading.Yaml;

namespace BusScope.Signals.Loading;

/// <summary>The outcome of loading definition files.</summary>
/// <param name="Definitions">The set, or null where an error stands among the diagnostics.</param>
/// <param name="Diagnostics">All faults at once, by file and line.</param>
public sealed record LoadResult(DefinitionSet? Definitions, IReadOnlyList<Diagnostic> Diagnostics)
{
    /// <summary>The texts that were read, for the lines that <see cref="DiagnosticText"/> shows.</summary>
    public IReadOnlyList<SourceText> Sources { get; init; } = [];
}

/// <summary>Reads definition files: YAML to a checked <see cref="DefinitionSet"/>.</summary>
public static class DefinitionLoader
{
    /// <summary>Loads files and folders (a folder's <c>*.yaml</c> and <c>*.yml</c>, by name), merged into one set.</summary>
    public static LoadResult Load(IReadOnlyList<string> paths)
    {
        ArgumentNullException.ThrowIfNull(paths);
        var faults = new FaultList();
        return Bind(DefinitionFiles.Read(paths, faults), faults);
    }

    /// <summary>Loads one text, for tests and built-in definitions.</summary>
    public static LoadResult LoadText(string text, string fileName) => LoadTexts([new SourceText(fileName, text)]);

    /// <summary>Loads several texts, merged into one set.</summary>
    public static LoadResult LoadTexts(IReadOnlyList<SourceText> texts) => Bind(texts, new FaultList());

    private static LoadResult Bind(IReadOnlyList<SourceText> sources, FaultList faults)
    {
        var files = new List<FileBinding>();
        var sets = new List<DefinitionSet>();
        var broken = faults.HasErrors;
        foreach (var source in sources)
        {
            if (NodeComposer.Compose(source, faults) is not { } root)
            {
                broken = true;
                continue;
            }

            var file = new FileBinding(faults);
            files.Add(file);
            sets.Add(FileBinder.Read(root, file));
        }

        var definitions = Merge.Run(sets, faults);

        // Where a file could not be read at all, names that it may define would only look undefined.
        if (!broken)
        {
            ReferenceCheck.Run(definitions, files, faults);
        }

        return new LoadResult(faults.HasErrors ? null : definitions, faults.Sorted(sources)) { Sources = sources };
    }
}
