namespace BusScope.Transport.Pcapng;

/// <summary>Where the blocks of a written capture go.</summary>
internal interface IPcapngTarget : IDisposable
{
    /// <summary>Appends bytes.</summary>
    void Write(ReadOnlySpan<byte> bytes);

    /// <summary>Makes what was written last.</summary>
    void Complete();
}

/// <summary>A stream that somebody else opened and closes.</summary>
internal sealed class StreamTarget(Stream stream) : IPcapngTarget
{
    /// <inheritdoc/>
    public void Write(ReadOnlySpan<byte> bytes) => stream.Write(bytes);

    /// <inheritdoc/>
    public void Complete() => stream.Flush();

    /// <inheritdoc/>
    public void Dispose()
    {
    }
}

/// <summary>
/// A file that appears under its name only when it is whole: written beside it under another name, forced to the disk, then renamed.
/// </summary>
internal sealed class FileTarget : IPcapngTarget
{
    private const int BufferLength = 256 * 1024;

    private readonly string path;
    private readonly string partial;
    private readonly FileStream file;
    private bool isOpen = true;

    public FileTarget(string path)
    {
        OutputPath.Refuse(path);
        this.path = path;
        // The process number keeps two writers of one file apart.
        partial = $"{path}.{Environment.ProcessId}.partial";
        file = OutputPath.Open(path, () => new FileStream(partial, FileMode.Create, FileAccess.Write, FileShare.Read, BufferLength));
    }

    /// <inheritdoc/>
    public void Write(ReadOnlySpan<byte> bytes)
    {
        try
        {
            file.Write(bytes);
        }
        catch (IOException e)
        {
            throw Failed(e);
        }
    }

    /// <inheritdoc/>
    public void Complete()
    {
        try
        {
            file.Flush(flushToDisk: true);
            file.Dispose();
            File.Move(partial, path, overwrite: true);
            isOpen = false;
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            throw Failed(e);
        }
    }

    /// <inheritdoc/>
    public void Dispose()
    {
        if (isOpen)
        {
            Abandon();
        }
    }

    private IOException Failed(Exception cause)
    {
        Abandon();
        return new IOException($"{path}: cannot be written: {cause.Message}; what was written has been removed", cause);
    }

    private void Abandon()
    {
        isOpen = false;
        try
        {
            // Closing writes what is left in the buffer, which fails once more on a full disk.
            file.Dispose();
        }
        catch (IOException)
        {
        }

        try
        {
            File.Delete(partial);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            // The folder has gone or was closed to us: there is nothing left to do.
        }
    }
}
