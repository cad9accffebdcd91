using Microsoft.Win32.SafeHandles;

namespace BusScope.Cli;

/// <summary>
/// Standard output as a stream of bytes. The console stream of the framework takes a broken pipe for success, so that a
/// decode of ten million frames into <c>head</c> would run to its end; a pipe is therefore written as a file.
/// </summary>
internal static class StandardOutput
{
    private const int StandardOutputDescriptor = 1;
    private const int BrokenPipe = 32; // EPIPE, errno.h

    /// <summary>Opens standard output.</summary>
    public static Stream Open()
    {
        if (!Console.IsOutputRedirected || OperatingSystem.IsWindows())
        {
            return Console.OpenStandardOutput();
        }

        try
        {
            var pipe = new FileStream(new SafeFileHandle(StandardOutputDescriptor, ownsHandle: false), FileAccess.Write, bufferSize: 0);

            // A file is left to the console stream, which writes where the shell's other programs write, not at an offset of its own.
            return pipe.CanSeek ? Console.OpenStandardOutput() : pipe;
        }
        catch (Exception e) when (e is IOException or ArgumentException or UnauthorizedAccessException)
        {
            return Console.OpenStandardOutput();
        }
    }

    /// <summary>Whether writing failed because the reader went away.</summary>
    public static bool IsReaderGone(IOException failure) => failure.HResult == BrokenPipe;
}
