using System.Runtime.InteropServices;
using Microsoft.Win32.SafeHandles;

namespace BusScope.Cli;

/// <summary>
/// Standard input as a stream of bytes. The console stream of the framework does not say whether it is a file, which can be read
/// at once, or a pipe, which has to be waited for; so it is opened as a file. The framework's console must not be asked about
/// standard input before a screen may take its place: it remembers its first answer.
/// </summary>
internal static class StandardInput
{
    private const int Descriptor = 0;

    /// <summary>Opens standard input; it can seek where it is a file.</summary>
    public static Stream Open()
    {
        if (OperatingSystem.IsWindows())
        {
            return Console.OpenStandardInput();
        }

        try
        {
            return new FileStream(new SafeFileHandle(Descriptor, ownsHandle: false), FileAccess.Read, bufferSize: 0);
        }
        catch (Exception e) when (e is IOException or ArgumentException or UnauthorizedAccessException)
        {
            return Stream.Null;
        }
    }

    /// <summary>Whether a person may type there.</summary>
    public static bool IsTerminal() => OperatingSystem.IsWindows() ? !Console.IsInputRedirected : IsTerminalDescriptor(Descriptor) == 1;

    /// <summary>
    /// Takes what arrives on standard input aside and puts the terminal that the program was started from in its place, so that a
    /// screen gets its keys from there.
    /// </summary>
    /// <returns>What arrives, or null where there is no such terminal.</returns>
    public static Stream? TakeAside()
    {
        if (OperatingSystem.IsWindows())
        {
            return null;
        }

        try
        {
            using var terminal = File.OpenHandle("/dev/tty", FileMode.Open, FileAccess.ReadWrite, FileShare.ReadWrite);
            var aside = Duplicate(Descriptor);
            return aside >= 0 && Replace((int)terminal.DangerousGetHandle(), Descriptor) == Descriptor
                ? new FileStream(new SafeFileHandle(aside, ownsHandle: true), FileAccess.Read, bufferSize: 0)
                : null;
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            return null;
        }
    }

    [DllImport("libc", EntryPoint = "isatty")]
    [DefaultDllImportSearchPaths(DllImportSearchPath.SafeDirectories)]
    private static extern int IsTerminalDescriptor(int descriptor);

    [DllImport("libc", EntryPoint = "dup")]
    [DefaultDllImportSearchPaths(DllImportSearchPath.SafeDirectories)]
    private static extern int Duplicate(int descriptor);

    [DllImport("libc", EntryPoint = "dup2")]
    [DefaultDllImportSearchPaths(DllImportSearchPath.SafeDirectories)]
    private static extern int Replace(int descriptor, int replaced);
}
