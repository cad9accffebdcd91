using System.CommandLine;

namespace BusScope.Cli.Commands;

/// <summary><c>demo</c>: the main job on the built-in car.</summary>
internal static class DemoCommand
{
    /// <summary>The command.</summary>
    public static Command Create(ProgramConsole console)
    {
        var plain = new Option<bool>("--plain") { Description = "Print the verdict, without the screen" };
        var command = new Command("demo", "Shows the main job on a simulated car after an engine controller swap") { plain };
        command.SetAction((parsed, cancellation) => Task.FromException<int>(new NotSupportedException("not yet" + console.Time)));
        return command;
    }
}
