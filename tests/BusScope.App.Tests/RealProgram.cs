using System.Diagnostics;
using BusScope.TestKit;
using Xunit;

namespace BusScope.App.Tests;

/// <summary>The program as a process of its own, for what only a process can have done to it. Killed when the test is over.</summary>
internal sealed class RealProgram : IDisposable
{
    private readonly Process process;
    private readonly Task<string> output;
    private readonly Task<string> error;

    private RealProgram(ProcessStartInfo start)
    {
        start.RedirectStandardInput = start.RedirectStandardOutput = start.RedirectStandardError = true;
        start.WorkingDirectory = RepoFiles.Root;
        process = Process.Start(start)!;
        output = process.StandardOutput.ReadToEndAsync(TestContext.Current.CancellationToken);
        error = process.StandardError.ReadToEndAsync(TestContext.Current.CancellationToken);
    }

    /// <summary>The program beside the tests.</summary>
    public static string Path { get; } = System.IO.Path.Combine(AppContext.BaseDirectory, OperatingSystem.IsWindows() ? "busscope.exe" : "busscope");

    /// <summary>Its standard input.</summary>
    public Stream Input => process.StandardInput.BaseStream;

    /// <summary>The number of the process.</summary>
    public int Id => process.Id;

    /// <summary>Starts it with these words behind its name.</summary>
    public static RealProgram Start(params IReadOnlyList<string> arguments) => new(new ProcessStartInfo(Path, arguments));

    /// <summary>Starts a shell that prepares something and then becomes the program.</summary>
    public static RealProgram StartInShell(string script) => new(new ProcessStartInfo("bash", ["-c", script]));

    /// <summary>Kills it as <c>kill -9</c> does, and waits until it is gone.</summary>
    public void Kill()
    {
        process.Kill();
        process.WaitForExit();
    }

    /// <summary>Waits for its end.</summary>
    public async Task<CommandRun> End()
    {
        await process.WaitForExitAsync(TestContext.Current.CancellationToken);
        return new CommandRun(await output, await error, process.ExitCode);
    }

    /// <summary>Runs a general tool to its end, and gives what it printed.</summary>
    public static string Tool(string name, params string[] arguments)
    {
        Assert.SkipUnless(Environment.GetEnvironmentVariable("PATH")!.Split(System.IO.Path.PathSeparator).Any(folder => File.Exists(System.IO.Path.Combine(folder, name))), $"{name} is not installed");
        using var tool = Process.Start(new ProcessStartInfo(name, arguments) { RedirectStandardOutput = true, RedirectStandardError = true })!;
        var errors = tool.StandardError.ReadToEndAsync(TestContext.Current.CancellationToken);
        var printed = tool.StandardOutput.ReadToEnd();
        tool.WaitForExit();
        Assert.True(tool.ExitCode == 0, errors.Result);
        return printed;
    }

    public void Dispose()
    {
        if (!process.HasExited)
        {
            Kill();
        }

        process.Dispose();
    }
}
