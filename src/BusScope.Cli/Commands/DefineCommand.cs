using System.CommandLine;
using BusScope.Cli.Options;
using BusScope.Reports.Layout;

namespace BusScope.Cli.Commands;

/// <summary><c>define check</c> and <c>define show</c>: definition files before anything is measured with them.</summary>
internal static class DefineCommand
{
    private const string PathDescription = "Definition file, or folder of such files";

    /// <summary>The command with its two.</summary>
    public static Command Create(ProgramConsole console) =>
        new("define", "Checks and shows definition files")
        {
            CreateCheck(console),
            CreateShow(console),
        };

    private static Command CreateCheck(ProgramConsole console)
    {
        var paths = Paths();
        var command = new Command("check", "Reports every fault of definition files at once, and checks their examples") { paths };
        command.SetAction(parsed =>
        {
            var set = DefinitionOptions.LoadFiles(parsed.GetValue(paths) ?? [], console).Set;
            var signals = set.Messages.Sum(message => message.Signals.Count);
            console.Output.WriteLine($"{Figures.Of(set.Messages.Count, "message")}, {Figures.Of(signals, "signal")}: fine");
            return ExitStatus.Fine;
        });
        return command;
    }

    private static Command CreateShow(ProgramConsole console)
    {
        var path = new Argument<string>("FILE") { Description = PathDescription };
        var messages = new Argument<string[]>("MESSAGE") { Description = "Only these messages", Arity = ArgumentArity.ZeroOrMore };
        var command = new Command("show", "Draws each message as a grid of its bits") { path, messages };
        command.SetAction(parsed =>
        {
            var set = DefinitionOptions.LoadFiles([parsed.GetRequiredValue(path)], console).Set;
            foreach (var name in parsed.GetValue(messages) ?? [])
            {
                _ = set.Messages.FirstOrDefault(message => message.Name == name) ?? throw new UsageException($"the definitions have no message '{name}'");
            }

            return ExitStatus.Fine;
        });
        return command;
    }

    private static Argument<string[]> Paths() => new("FILE") { Description = PathDescription, Arity = ArgumentArity.OneOrMore };
}
