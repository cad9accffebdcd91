using System.Runtime.InteropServices;
using BusScope.Session;
using BusScope.Terminal.Lifetime;
using Terminal.Gui.App;
using Terminal.Gui.Drivers;
using Terminal.Gui.Input;

namespace BusScope.Terminal;

/// <summary>The terminal UI over a session, from its first picture to the terminal given back.</summary>
public static class TerminalScreen
{
    /// <summary>Exit status after a signal: 128 and its number, as shells say it.</summary>
    private const int Interrupted = 130, Terminated = 143;

    private const int SourceFailed = 3;

    // Keys wait for the loop's next iteration, and pictures are due at its beat.
    private const int IterationsPerSecond = 60;

    /// <summary>Whether there is a terminal that a screen can be shown on.</summary>
    /// <param name="why">What stands against it, as a sentence; empty where nothing does.</param>
    public static bool CanRun(out string why)
    {
        why = Console.IsOutputRedirected ? "standard output is not a terminal"
            : Console.IsInputRedirected ? "standard input is not a terminal"
            : Environment.GetEnvironmentVariable("TERM") is null or "" or "dumb" && !OperatingSystem.IsWindows() ? "the terminal says that it can only print lines (TERM)"
            : "";
        return why.Length == 0;
    }

    /// <summary>Shows the session until the person leaves or a signal ends it. Starts the session; the caller disposes it afterwards.</summary>
    /// <param name="session">A session not started yet.</param>
    /// <param name="options">How the screen is to look.</param>
    /// <param name="time">Where the time of the room comes from.</param>
    /// <returns>0; 3 when the source failed; 130, 143 after SIGINT, SIGTERM. SIGHUP ends the program by itself.</returns>
    /// <remarks>A fault of our own, on any thread, is thrown once the terminal has been given back.</remarks>
    public static int Run(MonitorSession session, ScreenOptions options, TimeProvider time)
    {
        ArgumentNullException.ThrowIfNull(session);
        ArgumentNullException.ThrowIfNull(options);
        ArgumentNullException.ThrowIfNull(time);
        using var window = new ScreenWindow(session, options, time);
        session.Start();
        var status = Show(window, options, time, () => session.Fault is not null, session.Dispose);
        session.Fault?.Throw();
        return status != 0 ? status : session.Current.Failure is null ? 0 : SourceFailed;
    }

    /// <summary>Shows a window until it is left, a signal comes, or something is at fault.</summary>
    internal static int Show(ScreenWindow window, ScreenOptions options, TimeProvider time, Func<bool> isAtFault, Action? close = null)
    {
        TerminalGuard.Arm();
        var status = 0;
        Application.MaximumIterationsPerSecond = IterationsPerSecond;
        Driver.SizeDetection = SizeDetectionMode.Polling;
        var app = Application.Create();
        try
        {
            app.Init(DriverRegistry.Names.ANSI);
            void Leave() => app.RequestStop(window);
            void Obey(PosixSignalContext signal)
            {
                signal.Cancel = true;
                status = signal.Signal == PosixSignal.SIGINT ? Interrupted : Terminated;
                app.Invoke(Leave);
            }

            // A closed window takes the terminal with it, and the library would try to read and write there for ever. What is left of
            // the terminal is given back, the session is closed, a recording beside it completed, and then the signal ends the program as it
            // ends any other.
            using var hangUp = PosixSignalRegistration.Create(PosixSignal.SIGHUP, _ =>
            {
                TerminalGuard.GiveBack();
                close?.Invoke();
            });
            using var interrupt = PosixSignalRegistration.Create(PosixSignal.SIGINT, Obey);
            using var terminate = PosixSignalRegistration.Create(PosixSignal.SIGTERM, Obey);
            window.Leaving += Leave;
            window.Ringing += () => app.Driver?.WriteRaw("\a");
            app.Keyboard.KeyBindings.Remove(Key.Esc);
            app.Iteration += Beat(app, window, options, time, isAtFault, Leave);
            app.Run(window);
        }
        finally
        {
            app.Dispose();
            TerminalGuard.Disarm();
        }

        return status;
    }

    // The library's own timers drift with its iterations; pictures come by the clock instead: as soon as there is anything new, and no
    // sooner after the one before than the rate allows.
    private static EventHandler<EventArgs<IApplication?>> Beat(IApplication app, ScreenWindow window, ScreenOptions options, TimeProvider time, Func<bool> isAtFault, Action leave)
    {
        var period = time.TimestampFrequency / options.Refresh;
        long due = 0;
        return (_, _) =>
        {
            TerminalGuard.PassOrStandStill();

            // The screen has no cursor; the library would hide it anew each time.
            app.Driver?.SetCursorNeedsUpdate(false);
            if (isAtFault())
            {
                leave();
            }

            var now = time.GetTimestamp();
            if (now >= due && window.Refresh())
            {
                due = Math.Max(due + period, now + (period / 2));
            }
        };
    }
}
