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

    /// <summary>Loads files and folders, and says on standard error what is wrong with them.</summary>
    /// <exception cref="UsageException">They have errors.</exception>
    public static LoadedDefinitions LoadFiles(IReadOnlyList<string> paths, ProgramConsole console)
    {
        var result = DefinitionLoader.Load(paths);
        if (result.Diagnostics.Count > 0)
        {
            console.Error.Write(DiagnosticText.Render(result.Diagnostics, result.Sources));
        }

        var errors = result.Diagnostics.Count(diagnostic => diagnostic.Severity == Severity.Error);
        return new LoadedDefinitions(
            result.Definitions ?? throw new UsageException($"{Figures.Of(errors, "error")} in the definitions"),
            string.Join(", ", paths));
    }
}

/// <summary>A definition set and what a person calls it.</summary>
/// <param name="Set">The definitions.</param>
/// <param name="Name">The files as named, or null where there are none.</param>
internal sealed record LoadedDefinitions(DefinitionSet Set, string? Name);
