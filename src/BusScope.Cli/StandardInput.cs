using Microsoft.Win32.SafeHandles;

namespace BusScope.Cli;

/// <summary>
/// Standard input as a stream of bytes. The console stream of the framework does not say whether it is a file, which can be read
/// at once, or a pipe, which has to be waited for; so what the shell has opened is looked at as a file.
/// </summary>
internal static class StandardInput
{
    private const int Descriptor = 0;

    /// <summary>Opens standard input; it can seek where it is a file.</summary>
    public static Stream Open()
    {
        if (!Console.IsInputRedirected || OperatingSystem.IsWindows())
        {
            return Console.OpenStandardInput();
        }

        try
        {
            var file = new FileStream(new SafeFileHandle(Descriptor, ownsHandle: false), FileAccess.Read, bufferSize: 0);
            return file.CanSeek ? file : Console.OpenStandardInput();
        }
        catch (Exception e) when (e is IOException or ArgumentException or UnauthorizedAccessException)
        {
            return Console.OpenStandardInput();
        }
    }
}
