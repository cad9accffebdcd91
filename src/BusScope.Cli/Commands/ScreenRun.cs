using BusScope.Cli.Options;
using BusScope.Frames;
using BusScope.Health;
using BusScope.Session;
using BusScope.Session.Replay;
using BusScope.Signals.Editing;
using BusScope.Signals.Plans;
using BusScope.Terminal;

namespace BusScope.Cli.Commands;

/// <summary>One session on the screen: what <c>watch</c> and <c>demo</c> do.</summary>
internal static class ScreenRun
{
    /// <summary>Fails early, before anything is opened, where there is no terminal to draw on.</summary>
    /// <exception cref="UsageException">There is none.</exception>
    public static void Demand(string instead)
    {
        if (!TerminalScreen.CanRun(out var why))
        {
            throw new UsageException($"no screen can be shown: {why}; {instead}");
        }
    }

    /// <summary>Shows a recording in its own time until the person leaves.</summary>
    /// <param name="console">The console.</param>
    /// <param name="source">The source; closed here.</param>
    /// <param name="definitions">What it is held against.</param>
    /// <param name="options">How the screen looks.</param>
    /// <param name="reopen">Opens a recording afresh, so that one can jump in it; null where it comes only once.</param>
    /// <returns>The exit status.</returns>
    public static int Run(
        ProgramConsole console, IFrameSource source, LoadedDefinitions definitions, ScreenOptions options, Func<IFrameSource>? reopen)
    {
        var monitor = new HealthMonitor(new DefinitionPlan(definitions.Set), new MonitorOptions { MarkChanges = true });
        using var session = source.Clock == SourceClock.Recorded
            ? new MonitorSession(source, monitor, new ReplayPace(console.Time), console.Time, reopen)
            : new MonitorSession(source, monitor, console.Time);
        return TerminalScreen.Run(session, options with { Additions = new SignalAddition([.. definitions.Files], WholeFile.Write) }, console.Time);
    }
}
