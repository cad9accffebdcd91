using System.Text;

namespace BusScope.Cli;

/// <summary>
/// A report that appears under its name only when it is whole. It is opened before the work begins, so that a folder that cannot be
/// written is told at once and not after a minute beside the car.
/// </summary>
internal sealed class ReportFile : IDisposable
{
    private readonly string partial;
    private readonly FileStream file;

    /// <summary>Opens the file beside its final place.</summary>
    /// <exception cref="IOException">It cannot be written.</exception>
    public ReportFile(string path)
    {
        Path = path;
        // The process number keeps two writers of one file apart.
        partial = $"{path}.{Environment.ProcessId}.partial";
        if (Directory.Exists(path))
        {
            throw new IOException($"{path}: cannot be written: it is a folder");
        }

        // The file is renamed into its place, which would take a device away.
        if (!OperatingSystem.IsWindows() && System.IO.Path.GetFullPath(path) is var full
            && full.StartsWith("/dev/", StringComparison.Ordinal) && !full.StartsWith("/dev/shm/", StringComparison.Ordinal))
        {
            throw new IOException($"{path}: cannot be written: it stands for a device");
        }

        try
        {
            file = new FileStream(partial, FileMode.Create, FileAccess.Write, FileShare.Read);
        }
        catch (DirectoryNotFoundException e)
        {
            throw new IOException($"{path}: cannot be written: its folder does not exist", e);
        }
        catch (FileNotFoundException e)
        {
            // Some places that look like folders, /proc among them, take no new file.
            throw new IOException($"{path}: cannot be written: no file can be made there", e);
        }
        catch (UnauthorizedAccessException e)
        {
            throw new IOException($"{path}: cannot be written: this user may not write there", e);
        }
        catch (Exception e) when (e is IOException or ArgumentException or NotSupportedException)
        {
            throw new IOException($"{path}: cannot be written: {e.Message}", e);
        }
    }

    /// <summary>The final place.</summary>
    public string Path { get; }

    /// <summary>Writes the report and puts it into its place.</summary>
    /// <exception cref="IOException">The disk is full, or the file cannot be put into its place.</exception>
    public void Write(Action<TextWriter> content)
    {
        try
        {
            using (var writer = new StreamWriter(file, new UTF8Encoding(encoderShouldEmitUTF8Identifier: false), leaveOpen: true) { NewLine = "\n" })
            {
                content(writer);
            }

            file.Flush(flushToDisk: true);
            file.Dispose();
            File.Move(partial, Path, overwrite: true);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            throw new IOException($"{Path}: cannot be written: {e.Message}", e);
        }
    }

    /// <summary>Takes away what was not finished.</summary>
    public void Dispose()
    {
        file.Dispose();
        File.Delete(partial);
    }
}
