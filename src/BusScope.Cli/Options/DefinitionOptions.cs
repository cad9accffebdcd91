using System.CommandLine;
using BusScope.Cli.Sources;
using BusScope.Demo;
using BusScope.Frames.Diagnostics;
using BusScope.Reports.Layout;
using BusScope.Signals.Definitions;
using BusScope.Signals.Loading;

namespace BusScope.Cli.Options;

/// <summary><c>--defs</c>: the definition files that a command goes by.</summary>
internal sealed class DefinitionOptions
{
    private readonly bool isNeeded;
    private readonly Option<string[]> option;

    /// <summary>The option.</summary>
    /// <param name="isNeeded">Whether the command can do nothing without definitions.</param>
    public DefinitionOptions(bool isNeeded)
    {
        this.isNeeded = isNeeded;
        option = new Option<string[]>("--defs")
        {
            Description = "Definition file, or folder of such files; repeatable",
            HelpName = "FILE|FOLDER",
        };
    }

    /// <summary>Adds the option to a command.</summary>
    public void AddTo(Command command) => command.Options.Add(option);

    /// <summary>Loads what was named; for the demo alone, its own definitions where none was named.</summary>
    /// <exception cref="UsageException">They have errors, which stand on standard error; or they are needed and not there.</exception>
    public LoadedDefinitions Load(ParseResult parsed, IReadOnlyList<SourceName> sources, ProgramConsole console)
    {
        var paths = parsed.GetValue(option) ?? [];
        if (paths.Length > 0)
        {
            return LoadFiles(paths, console);
        }

        return sources is [{ Story: { } story }] && DemoStories.All.Any(each => each.Name == story) ? LoadBuiltIn(story)
            : isNeeded ? throw new UsageException("this needs definitions: name a file or folder with --defs")
            : new LoadedDefinitions(DefinitionSet.Empty, null);
    }

    /// <summary>The definitions that belong to a story.</summary>
    public static LoadedDefinitions LoadBuiltIn(string story)
    {
        var result = DemoDefinitions.LoadFor(DemoStories.All.First(each => each.Name == story));
        return new LoadedDefinitions(
            result.Definitions ?? throw new InvalidOperationException(DiagnosticText.Render(result.Diagnostics, result.Sources)),
            string.Join(", ", result.Sources.Select(source => source.FileName)))
        {
            Texts = result.Sources,
            AreBuiltIn = true,
        };
    }

    /// <summary>
    /// Loads files and folders, and says on standard error what is wrong with them, all at once. Where they can be used all the same,
    /// warnings are only counted: a check is not the place to read them.
    /// </summary>
    /// <param name="paths">The files and folders.</param>
    /// <param name="console">The console.</param>
    /// <exception cref="UsageException">They have errors.</exception>
    public static LoadedDefinitions LoadFiles(IReadOnlyList<string> paths, ProgramConsole console)
    {
        var result = DefinitionLoader.Load(paths);
        if (result.Definitions is { } definitions)
        {
            if (result.Diagnostics.Count > 0)
            {
                console.Say($"{Figures.Of(result.Diagnostics.Count, "warning")} in the definitions; 'busscope define check' shows {(result.Diagnostics.Count == 1 ? "it" : "them")}");
            }

            return new LoadedDefinitions(definitions, string.Join(", ", paths)) { Texts = result.Sources };
        }

        throw Refused(result.Diagnostics, result, console);
    }

    /// <summary>Checks files and folders with their examples, and says on standard error everything that there is to say.</summary>
    /// <param name="paths">The files and folders.</param>
    /// <param name="console">The console.</param>
    /// <exception cref="UsageException">They have errors.</exception>
    public static DefinitionSet Check(IReadOnlyList<string> paths, ProgramConsole console)
    {
        var result = DefinitionLoader.Load(paths);
        Diagnostic[] diagnostics = [.. result.Diagnostics, .. result.Definitions is { } set ? ExampleCheck.Run(set) : []];
        if (result.Definitions is not { } definitions || diagnostics.Any(IsError))
        {
            throw Refused(diagnostics, result, console);
        }

        console.Error.Write(DiagnosticText.Render(diagnostics, result.Sources));
        return definitions;
    }

    private static UsageException Refused(IReadOnlyList<Diagnostic> diagnostics, LoadResult result, ProgramConsole console)
    {
        console.Error.Write(DiagnosticText.Render(diagnostics, result.Sources));
        return new UsageException($"{Figures.Of(diagnostics.Count(IsError), "error")} in the definitions");
    }

    private static bool IsError(Diagnostic diagnostic) => diagnostic.Severity == Severity.Error;
}

/// <summary>A definition set and what a person calls it.</summary>
/// <param name="Set">The definitions.</param>
/// <param name="Name">The files as named, or null where there are none.</param>
internal sealed record LoadedDefinitions(DefinitionSet Set, string? Name)
{
    /// <summary>The texts of the files that were read.</summary>
    public IReadOnlyList<SourceText> Texts { get; init; } = [];

    /// <summary>The files that were read, if any.</summary>
    public IEnumerable<string> Files => AreBuiltIn ? [] : Texts.Select(text => text.FileName);

    /// <summary>Whether they are the program's own and no files.</summary>
    public bool AreBuiltIn { get; init; }
}
