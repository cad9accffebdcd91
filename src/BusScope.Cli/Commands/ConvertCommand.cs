using System.CommandLine;
using BusScope.Cli.Options;

namespace BusScope.Cli.Commands;

/// <summary><c>convert</c>: any readable capture to pcapng.</summary>
internal static class ConvertCommand
{
    /// <summary>The command.</summary>
    public static Command Create(ProgramConsole console)
    {
        var sources = new SourceOptions("CAPTURE");
        var output = new Option<string>("--out") { Description = "The file to write, pcapng", HelpName = "FILE", Required = true };
        var force = new Option<bool>("--force") { Description = "Overwrite the file if it is there" };
        var command = new Command("convert", "Writes any readable capture as pcapng, with nothing lost");
        sources.AddTo(command);
        command.Options.Add(output);
        command.Options.Add(force);
        command.SetAction((parsed, cancellation) =>
        {
            using var source = sources.Open(parsed, console);
            _ = (parsed.GetValue(output), parsed.GetValue(force), cancellation);
            throw new NotSupportedException("not yet");
#pragma warning disable CS0162
            return Task.FromResult(0);
#pragma warning restore CS0162
        });
        return command;
    }
}
