using System.CommandLine;
using System.CommandLine.Invocation;
using BusScope.Cli.Commands;
using BusScope.Frames;
using BusScope.Frames.Diagnostics;

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
        var errors = parsed.Action as ParseErrorAction;
        errors?.ShowHelp = false;
        var configuration = new InvocationConfiguration
        {
            // "Did you mean" would go to standard output.
            Output = errors is null ? console.Output : console.Error,
            Error = console.Error,
            EnableDefaultExceptionHandler = false,
            ProcessTerminationTimeout = null,
        };
        try
        {
            var status = parsed.InvokeAsync(configuration, cancellation).GetAwaiter().GetResult();
            console.Output.Flush();
            if (errors is null)
            {
                return status;
            }

            console.Say($"See: {PathOf(parsed.CommandResult.Command)} --help");
            return ExitStatus.Usage;
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
    public static RootCommand Tree(ProgramConsole console) =>
        new("Shows what is on a CAN bus, and whether every module of the car gets the messages that it lives on. It receives and never sends.")
        {
            DemoCommand.Create(console),
            WatchCommand.Create(console),
            CheckCommand.Create(console),
            SummaryCommand.Create(console),
            DecodeCommand.Create(console),
            ConvertCommand.Create(console),
            DefineCommand.Create(console),
        };

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

    private static string PathOf(Command command) =>
        command.Parents.OfType<Command>().FirstOrDefault() is { } parent ? $"{PathOf(parent)} {command.Name}" : "busscope";
}
