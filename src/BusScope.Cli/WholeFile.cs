using System.Text;

namespace BusScope.Cli;

/// <summary>A text file that appears under its name only when it is whole: written beside it under another name, then renamed.</summary>
internal static class WholeFile
{
    private static readonly UTF8Encoding Utf8 = new(encoderShouldEmitUTF8Identifier: false);

    /// <summary>Writes it.</summary>
    /// <exception cref="IOException">It cannot be written; what was there is as it was.</exception>
    public static void Write(string path, string text)
    {
        // A file renamed into the place of a device would take the device away.
        var full = Path.GetFullPath(path);
        if (!OperatingSystem.IsWindows() && full.StartsWith("/dev/", StringComparison.Ordinal) && !full.StartsWith("/dev/shm/", StringComparison.Ordinal))
        {
            throw new IOException($"{path}: cannot be written: it stands for a device");
        }

        // A link stays a link: what it points to is written.
        var target = (File.Exists(path) ? File.ResolveLinkTarget(path, returnFinalTarget: true)?.FullName : null) ?? path;
        var partial = $"{target}.{Environment.ProcessId}.partial";
        try
        {
            File.WriteAllText(partial, text, Utf8);
            File.Move(partial, target, overwrite: true);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            if (File.Exists(partial))
            {
                File.Delete(partial);
            }

            throw new IOException($"{path}: cannot be written: {e.Message}", e);
        }
    }
}
