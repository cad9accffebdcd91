using System.Text;
using BusScope.Cli;
using Xunit;

namespace BusScope.App.Tests;

/// <summary>A command run in process, with what it printed and how it ended.</summary>
internal sealed record CommandRun(string Output, string Error, int Status)
{
    // Commands name files from the top of the checkout, as a person in a fresh clone does.
    static CommandRun() => Environment.CurrentDirectory = TestKit.RepoFiles.Root;

    /// <summary>Runs the program as if these words stood behind its name.</summary>
    public static CommandRun Of(params IReadOnlyList<string> arguments) => Run(new MemoryStream(), arguments, TestContext.Current.CancellationToken);

    /// <summary>Runs the program with something on standard input.</summary>
    public static CommandRun WithInput(byte[] input, params IReadOnlyList<string> arguments) => Run(new MemoryStream(input), arguments, TestContext.Current.CancellationToken);

    /// <summary>Runs the program with something that arrives on standard input, as through a pipe.</summary>
    public static CommandRun WithPipe(byte[] input, params IReadOnlyList<string> arguments) => Run(new Pipe(input), arguments, TestContext.Current.CancellationToken);

    /// <summary>Runs the program with a person who breaks it off.</summary>
    public static CommandRun BrokenOff(params IReadOnlyList<string> arguments) => Run(new MemoryStream(), arguments, new CancellationToken(canceled: true));

    /// <summary>Runs the program into a given output.</summary>
    public static CommandRun Into(Stream output, params IReadOnlyList<string> arguments)
    {
        var error = new StringWriter();
        var console = new ProgramConsole(Stream.Null, output, error);
        var status = CommandLine.Run(arguments, console, TestContext.Current.CancellationToken);
        return new CommandRun("", Tidy(error.ToString()), status);
    }

    /// <summary>Everything a person and the shell see of it, for a snapshot.</summary>
    public override string ToString() => $"status {Status}\n--- output\n{Output}--- error\n{Error}";

    private static CommandRun Run(Stream input, IReadOnlyList<string> arguments, CancellationToken cancellation)
    {
        var output = new MemoryStream();
        var error = new StringWriter();
        int status;
        using (var console = new ProgramConsole(input, output, error))
        {
            status = CommandLine.Run(arguments, console, cancellation);
        }

        return new CommandRun(Tidy(Encoding.UTF8.GetString(output.ToArray())), Tidy(error.ToString()), status);
    }

    private sealed class Pipe(byte[] bytes) : MemoryStream(bytes)
    {
        public override bool CanSeek => false;
    }

    // Where this checkout and the temporary folder lie must not stand in a snapshot.
    private static string Tidy(string text) => text
        .ReplaceLineEndings("\n")
        .Replace(TestKit.RepoFiles.Root + "/", "", StringComparison.Ordinal);
}
