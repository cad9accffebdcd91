namespace BusScope.Transport.Pcapng;

/// <summary>Whether a file can be written under a path, and why not, in words for the person who named it.</summary>
public static class OutputPath
{
    /// <summary>Refuses what must not be overwritten by a file: a folder, and what stands for a device.</summary>
    /// <param name="path">The path that the person named.</param>
    /// <exception cref="IOException">It is one of them.</exception>
    public static void Refuse(string path)
    {
        ArgumentException.ThrowIfNullOrEmpty(path);
        if (Directory.Exists(path))
        {
            throw new IOException($"{path}: cannot be written: it is a folder");
        }

        if (IsDevice(path) || (new FileInfo(path).LinkTarget is not null && IsDevice(File.ResolveLinkTarget(path, returnFinalTarget: true)!.FullName)))
        {
            throw new IOException($"{path}: cannot be written: it stands for a device, and a file in its place would take that away");
        }
    }

    /// <summary>Opens a file for writing.</summary>
    /// <param name="path">The path that the person named, for the message.</param>
    /// <param name="open">Opens it.</param>
    /// <exception cref="IOException">It cannot be opened; the message names the path and the reason.</exception>
    internal static T Open<T>(string path, Func<T> open)
    {
        try
        {
            return open();
        }
        catch (DirectoryNotFoundException e)
        {
            throw new IOException($"{path}: cannot be written: its folder does not exist", e);
        }
        catch (UnauthorizedAccessException e)
        {
            throw new IOException($"{path}: cannot be written: this user may not write there", e);
        }
        catch (IOException e)
        {
            throw new IOException($"{path}: cannot be written: {e.Message}", e);
        }
    }

    // A finished file is renamed into its place. As root that would replace /dev/null itself. Memory disks below /dev are folders
    // like others.
    private static bool IsDevice(string path)
    {
        var full = Path.GetFullPath(path);
        return !OperatingSystem.IsWindows()
            && full.StartsWith("/dev/", StringComparison.Ordinal)
            && !full.StartsWith("/dev/shm/", StringComparison.Ordinal);
    }
}
