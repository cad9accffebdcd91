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

        return sources.Count > 0 && sources.All(source => source.Story is not null) ? LoadBuiltIn()
            : isNeeded ? throw new UsageException("this needs definitions: name a file or folder with --defs")
            : new LoadedDefinitions(DefinitionSet.Empty, null);
    }

    /// <summary>The definitions of the simulated car.</summary>
    public static LoadedDefinitions LoadBuiltIn()
    {
        var result = DemoDefinitions.Load();
        return new LoadedDefinitions(
            result.Definitions ?? throw new InvalidOperationException(DiagnosticText.Render(result.Diagnostics, result.Sources)),
            string.Join(", ", DemoDefinitions.FileNames));
    }

    /// <summary>Loads files and folders, and says on standard error what is wrong with them, all at once.</summary>
    /// <param name="paths">The files and folders.</param>
    /// <param name="console">The console.</param>
    /// <param name="withExamples">Whether the examples of the files must read as they say.</param>
    /// <exception cref="UsageException">They have errors.</exception>
    public static LoadedDefinitions LoadFiles(IReadOnlyList<string> paths, ProgramConsole console, bool withExamples = false)
    {
        var result = DefinitionLoader.Load(paths);
        Diagnostic[] diagnostics = [.. result.Diagnostics, .. withExamples && result.Definitions is { } set ? ExampleCheck.Run(set) : []];
        if (diagnostics.Length > 0)
        {
            console.Error.Write(DiagnosticText.Render(diagnostics, result.Sources));
        }

        var errors = diagnostics.Count(diagnostic => diagnostic.Severity == Severity.Error);
        return errors == 0 && result.Definitions is { } definitions
            ? new LoadedDefinitions(definitions, string.Join(", ", paths))
            : throw new UsageException($"{Figures.Of(errors, "error")} in the definitions");
    }
}

/// <summary>A definition set and what a person calls it.</summary>
/// <param name="Set">The definitions.</param>
/// <param name="Name">The files as named, or null where there are none.</param>
internal sealed record LoadedDefinitions(DefinitionSet Set, string? Name);
