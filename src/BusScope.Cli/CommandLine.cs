using System.CommandLine;
using System.CommandLine.Help;
using System.CommandLine.Invocation;
using System.CommandLine.Parsing;
using BusScope.Cli.Commands;
using BusScope.Frames;
using BusScope.Frames.Diagnostics;
using BusScope.Reports.Layout;
using BusScope.Signals.Loading;

namespace BusScope.Cli;

/// <summary>
/// All commands in one tree, and the one place where everything that can go wrong ends: each way has its sentence on
/// standard error and its status.
/// </summary>
internal static class CommandLine
{
    /// <summary>Runs the program.</summary>
    /// <returns>See <see cref="ExitStatus"/>.</returns>
    public static int Run(IReadOnlyList<string> arguments, ProgramConsole console, CancellationToken cancellation)
    {
        // A file name may start with @; it is no response file.
        var parsed = Tree(console).Parse(arguments, new ParserConfiguration { ResponseFileTokenReplacer = null });
        if (parsed.Action is ParseErrorAction)
        {
            return TellErrors(parsed, console);
        }

        if (EmptyValue(parsed) is { } name)
        {
            return Told(console, $"{name}: is empty; as when a variable of a script has no value", ExitStatus.Usage);
        }

        var configuration = new InvocationConfiguration
        {
            Output = console.Output,
            Error = console.Error,
            EnableDefaultExceptionHandler = false,
            ProcessTerminationTimeout = null,
        };
        try
        {
            var status = parsed.InvokeAsync(configuration, cancellation).GetAwaiter().GetResult();
            console.Output.Flush();
            return status;
        }
        catch (UsageException e)
        {
            return Told(console, e.Message, ExitStatus.Usage);
        }
        catch (SourceException e)
        {
            return Told(console, e.Message, ExitStatus.SourceFailed);
        }
        catch (IOException e) when (StandardOutput.IsReaderGone(e))
        {
            return ExitStatus.ReaderGone;
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            return Told(console, e.Message, ExitStatus.SourceFailed);
        }
        catch (OperationCanceledException) when (cancellation.IsCancellationRequested)
        {
            return ExitStatus.Interrupted;
        }
        catch (Exception e)
        {
            var trace = console.ShowsTrace ? $"\n{e}" : "\nSet BUSSCOPE_TRACE=1 to see where; please report it.";
            return Told(console, $"a fault of the program itself, {e.GetType().Name}: {e.Message}", ExitStatus.OurFault, trace);
        }
    }

    /// <summary>The commands.</summary>
    public static Command Tree(ProgramConsole console)
    {
        // A root command of the library would be called after whatever process it runs in.
        var tree = new Command("busscope", "Shows what is on a CAN bus, and whether every module of the car gets the messages that it lives on. It receives and never sends.")
        {
            DemoCommand.Create(console),
            WatchCommand.Create(console),
            RecordCommand.Create(console),
            AdaptersCommand.Create(console),
            LearnCommand.Create(console),
            CheckCommand.Create(console),
            SummaryCommand.Create(console),
            DecodeCommand.Create(console),
            ConvertCommand.Create(console),
            DefineCommand.Create(console),
        };
        var help = new HelpOption();
        if (help.Action is HelpAction action)
        {
            action.MaxWidth = Paragraph.Width;
        }

        tree.Options.Add(help);
        tree.Options.Add(new VersionOption());
        return tree;
    }

    private static int Told(ProgramConsole console, string message, int status, string? more = null)
    {
        try
        {
            console.Output.Flush();
        }
        catch (IOException)
        {
            // The output is what failed, or failed beside: the message below is what is left to say.
        }

        console.Say($"busscope: {CleanText.Clean(message)}{more}");
        return status;
    }

    // The library's own way prints the whole help behind the errors, where nobody finds them.
    private static int TellErrors(ParseResult parsed, ProgramConsole console)
    {
        var command = parsed.CommandResult.Command;
        if (command.Subcommands.Count > 0 && parsed.UnmatchedTokens is [var word, ..])
        {
            var meant = Suggestion.For(word, command.Subcommands.Select(each => each.Name));
            console.Say($"busscope: there is no command '{CleanText.Clean(word)}'{(meant is null ? "" : $": {meant}")}");
        }
        else if (command.Subcommands.Count > 0)
        {
            console.Say($"busscope: say what to do: {string.Join(", ", command.Subcommands.Select(each => each.Name))}");
        }
        else
        {
            foreach (var error in parsed.Errors)
            {
                console.Say($"busscope: {CleanText.Clean(error.Message.ReplaceLineEndings(" ").Replace("\t", "", StringComparison.Ordinal))}");
            }
        }

        console.Say($"See: {PathOf(command)} --help");
        return ExitStatus.Usage;
    }

    // No option or argument of any command has a meaning when it is empty.
    private static string? EmptyValue(ParseResult parsed)
    {
        foreach (var part in parsed.CommandResult.Children)
        {
            if (part.Tokens.Any(token => string.IsNullOrWhiteSpace(token.Value)))
            {
                return part is OptionResult option ? option.Option.Name : ((ArgumentResult)part).Argument.Name;
            }
        }

        return null;
    }

    private static string PathOf(Command command) =>
        command.Parents.OfType<Command>().FirstOrDefault() is { } parent ? $"{PathOf(parent)} {command.Name}" : "busscope";
}
