using System.Runtime.InteropServices;

namespace BusScope.Cli;

/// <summary>The entry of the program <c>busscope</c>.</summary>
internal static class Program
{
    private static int Main(string[] arguments)
    {
        using var stop = new CancellationTokenSource();

        // The first Ctrl-C lets the command end in order; the second one is the system's.
        using var interrupt = PosixSignalRegistration.Create(PosixSignal.SIGINT, signal =>
        {
            signal.Cancel = !stop.IsCancellationRequested;
            stop.Cancel();
        });
        using var console = ProgramConsole.OfThisProcess();
        return CommandLine.Run(arguments, console, stop.Token);
    }
}
