using System.CommandLine;
using BusScope.Cli.Options;
using BusScope.Frames;
using BusScope.Session.Recording;

namespace BusScope.Cli.Commands;

/// <summary><c>watch</c>: the screen.</summary>
internal static class WatchCommand
{
    /// <summary>The command.</summary>
    public static Command Create(ProgramConsole console)
    {
        var sources = new SourceOptions("SOURCE", isLive: true);
        var definitions = new DefinitionOptions(isNeeded: false);
        var record = new RecordOption();
        var screen = new ScreenSettings();
        var command = new Command("watch", "Shows modules, messages and signals on a screen, as they come or in the time of the recording");
        sources.AddTo(command);
        sources.AddBitRatesTo(command);
        sources.AddSetUpTo(command);
        definitions.AddTo(command);
        record.AddTo(command);
        screen.AddTo(command);
        command.SetAction(parsed =>
        {
            var names = sources.Names(parsed);
            if (names.Any(name => name.IsStandardInput) && !console.InputIsTerminal && !console.TakeInputAside())
            {
                throw new UsageException("the screen needs a terminal for its keys, and there is none beside standard input; save the stream to a file, or check it with 'check -'");
            }

            ScreenRun.Demand("'summary' and 'check' print instead");
            var loaded = definitions.Load(parsed, names, console);
            var open = sources.Opening(parsed, console, loaded.Set);
            var source = record.Wrap(parsed, sources, open(), console);

            // What is recorded at the same time, or comes through standard input, comes only once.
            Func<IFrameSource>? reopen = source is RecordedSource || names.Any(name => name.IsStandardInput) ? null : open;
            var status = ScreenRun.Run(console, source, loaded, screen.Read(parsed, console), reopen);
            return RecordOption.Close(source, console, status);
        });
        return command;
    }
}
