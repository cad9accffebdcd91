using System.Runtime.InteropServices;

namespace BusScope.Terminal.Lifetime;

/// <summary>
/// Gives the terminal back on the ways out that nobody plans: an exception on any thread, an exit from elsewhere, a hang-up. What the
/// terminal was like is remembered before the first escape sequence; giving back twice does no harm.
/// </summary>
internal static class TerminalGuard
{
    // Larger than struct termios of any system this runs on (Linux, x64: 60 bytes).
    private const int TermiosRoom = 256;
    private const int SetNow = 0;
    private const int StandardInput = 0;

    // Pointer reports off, bracketed paste off, cursor shown, attributes reset, alternate screen left (ECMA-48 and xterm's control sequences).
    private static readonly byte[] Reset = "\e[?1003l\e[?1006l\e[?1015l\e[?2004l\e[?25h\e[0m\e[?1049l"u8.ToArray();

    // The screen's thread draws many times a second: it must stand still before the terminal is given back behind its back.
    private static readonly TimeSpan LongestPicture = TimeSpan.FromMilliseconds(250);
    private static readonly ManualResetEventSlim StandsStill = new();
    private static volatile bool isGivingBack;
    private static int screenThread;
    private static byte[]? before;

    /// <summary>Remembers the terminal and stands guard. Called by the screen's thread.</summary>
    public static void Arm()
    {
        screenThread = Environment.CurrentManagedThreadId;
        var termios = new byte[TermiosRoom];
        before = OperatingSystem.IsWindows() || tcgetattr(StandardInput, ref termios[0]) != 0 ? null : termios;
        AppDomain.CurrentDomain.UnhandledException += OnUnhandled;
        AppDomain.CurrentDomain.ProcessExit += OnExit;
    }

    /// <summary>Stands down: the terminal was given back in the ordinary way.</summary>
    public static void Disarm()
    {
        AppDomain.CurrentDomain.UnhandledException -= OnUnhandled;
        AppDomain.CurrentDomain.ProcessExit -= OnExit;
    }

    /// <summary>Called by the screen's thread before each picture; does not return once the terminal is being given back.</summary>
    public static void PassOrStandStill()
    {
        if (isGivingBack)
        {
            StandsStill.Set();
            new ManualResetEventSlim().Wait(Timeout.Infinite);
        }
    }

    /// <summary>Gives the terminal back at once, from any thread; the screen draws no more.</summary>
    public static void GiveBack()
    {
        isGivingBack = true;
        if (Environment.CurrentManagedThreadId != screenThread)
        {
            StandsStill.Wait(LongestPicture);
        }

        try
        {
            using var terminal = new FileStream("/dev/tty", FileMode.Open, FileAccess.Write, FileShare.ReadWrite, bufferSize: 0);
            terminal.Write(Reset);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            // Without a terminal there is none to give back.
        }

        if (before is { } termios)
        {
            _ = tcsetattr(StandardInput, SetNow, ref termios[0]);
        }
    }

    private static void OnUnhandled(object sender, UnhandledExceptionEventArgs e) => GiveBack();

    private static void OnExit(object? sender, EventArgs e) => GiveBack();

#pragma warning disable IDE1006, SYSLIB1054 // The C library's own names; generated marshalling would need unsafe code, these arguments need none.
    [DllImport("libc")]
    [DefaultDllImportSearchPaths(DllImportSearchPath.SafeDirectories)]
    private static extern int tcgetattr(int descriptor, ref byte termios);

    [DllImport("libc")]
    [DefaultDllImportSearchPaths(DllImportSearchPath.SafeDirectories)]
    private static extern int tcsetattr(int descriptor, int when, ref byte termios);
#pragma warning restore IDE1006, SYSLIB1054
}
