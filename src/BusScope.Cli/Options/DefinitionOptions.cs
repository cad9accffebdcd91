using System.CommandLine;
using BusScope.Cli.Sources;
using BusScope.Frames.Diagnostics;
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

        return isNeeded
            ? throw new UsageException("this needs definitions: name a file or folder with --defs")
            : new LoadedDefinitions(DefinitionSet.Empty, null);
    }

    /// <summary>Loads files and folders, and says on standard error what is wrong with them.</summary>
    /// <exception cref="UsageException">They have errors.</exception>
    public static LoadedDefinitions LoadFiles(IReadOnlyList<string> paths, ProgramConsole console)
    {
        var result = DefinitionLoader.Load(paths);
        foreach (var diagnostic in result.Diagnostics)
        {
            console.Say(CleanText.Clean($"{diagnostic.Place}: {diagnostic.Code}: {diagnostic.Message}"));
        }

        return new LoadedDefinitions(
            result.Definitions ?? throw new UsageException("the definitions have errors: see above"),
            string.Join(", ", paths));
    }
}

/// <summary>A definition set and what a person calls it.</summary>
/// <param name="Set">The definitions.</param>
/// <param name="Name">The files as named, or null where there are none.</param>
internal sealed record LoadedDefinitions(DefinitionSet Set, string? Name);
