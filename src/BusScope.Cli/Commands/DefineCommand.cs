using System.CommandLine;
using BusScope.Cli.Options;
using BusScope.Reports.Layout;
using BusScope.Signals.Definitions;
using BusScope.Signals.Loading;

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
        OptionLike.Reject(paths, command);
        command.SetAction(parsed =>
        {
            var set = DefinitionOptions.Check(parsed.GetValue(paths) ?? [], console);
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
        var ascii = new Option<bool>("--ascii") { Description = "Nothing beyond ASCII in the drawing" };
        var command = new Command("show", "Draws each message as a grid of its bits") { path, messages, ascii };
        OptionLike.Reject(path, command);
        OptionLike.Reject(messages, command);
        command.SetAction(parsed =>
        {
            var set = DefinitionOptions.LoadFiles([parsed.GetRequiredValue(path)], console).Set;
            var names = parsed.GetValue(messages) ?? [];
            var shown = names.Length == 0 ? set.Messages : [.. names.Select(name => Find(set, name))];
            for (var i = 0; i < shown.Count; i++)
            {
                console.Output.Write((i == 0 ? "" : "\n") + BitGrid.Draw(shown[i], unicode: !parsed.GetValue(ascii)));
            }

            return ExitStatus.Fine;
        });
        return command;
    }

    private static MessageDefinition Find(DefinitionSet set, string name) =>
        set.Messages.FirstOrDefault(message => message.Name == name)
        ?? throw new UsageException($"the definitions have no message '{name}'{(Suggestion.For(name, set.Messages.Select(message => message.Name)) is { } meant ? $": {meant}" : "")}");

    private static Argument<string[]> Paths() => new("FILE") { Description = PathDescription, Arity = ArgumentArity.OneOrMore };
}
