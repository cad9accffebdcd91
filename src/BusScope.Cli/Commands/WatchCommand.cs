using System.CommandLine;
using BusScope.Cli.Options;

namespace BusScope.Cli.Commands;

/// <summary><c>watch</c>: the screen.</summary>
internal static class WatchCommand
{
    /// <summary>The command.</summary>
    public static Command Create(ProgramConsole console)
    {
        var sources = new SourceOptions("SOURCE");
        var definitions = new DefinitionOptions(isNeeded: false);
        var command = new Command("watch", "Shows modules, messages and signals on a screen, replayed in time");
        sources.AddTo(command);
        definitions.AddTo(command);
        command.SetAction((parsed, cancellation) => Task.FromException<int>(new NotSupportedException("not yet" + console.Time)));
        return command;
    }
}
