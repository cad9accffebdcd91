using System.Buffers.Binary;
using BusScope.Transport.Pcapng;
using Microsoft.Win32.SafeHandles;

namespace BusScope.Transport.Recording;

/// <summary>
/// A file that can be read at every moment while it is written: it stands under its name from the beginning, and bytes reach it
/// in whole blocks only. What was written before <see cref="Flush"/> outlives the program, what was written before
/// <see cref="Sync"/> outlives the power. Used by one thread at a time.
/// </summary>
internal sealed class RecordingFile : IPcapngTarget
{
    private const int BufferLength = 256 * 1024;

    private readonly string path;
    private readonly SafeFileHandle file;
    private readonly byte[] buffer = new byte[BufferLength];
    private int used;
    private long onDisk;
    private bool isSynced = true;

    /// <summary>Creates the file.</summary>
    /// <param name="path">Where.</param>
    /// <param name="overwrite">Whether a file that is there may be overwritten.</param>
    /// <exception cref="IOException">It cannot be created; the message names the path and the reason.</exception>
    public RecordingFile(string path, bool overwrite)
    {
        OutputPath.Refuse(path);
        this.path = path;
        file = OutputPath.Open(path, () => File.OpenHandle(path, overwrite ? FileMode.Create : FileMode.CreateNew, FileAccess.Write, FileShare.Read | FileShare.Delete));
    }

    /// <summary>Bytes written, whether or not they have reached the file yet.</summary>
    public long Length => onDisk + used;

    /// <summary>Appends one block, or several whole ones.</summary>
    /// <exception cref="IOException">The file cannot be written further; it ends behind the last block that has reached it.</exception>
    public void Write(ReadOnlySpan<byte> bytes)
    {
        if (bytes.Length > BufferLength - used)
        {
            Flush();
        }

        if (bytes.Length > BufferLength)
        {
            Put(bytes);
            return;
        }

        bytes.CopyTo(buffer.AsSpan(used));
        used += bytes.Length;
    }

    /// <summary>Hands everything to the operating system: a killed program loses nothing of it.</summary>
    /// <exception cref="IOException">The file cannot be written further; it ends behind the last block that has reached it.</exception>
    public void Flush()
    {
        var count = used;
        used = 0;
        Put(buffer.AsSpan(0, count));
    }

    /// <summary>Brings everything onto the disk: a power failure loses nothing of it.</summary>
    /// <exception cref="IOException">The disk failed.</exception>
    public void Sync()
    {
        Flush();
        if (isSynced)
        {
            return;
        }

        try
        {
            RandomAccess.FlushToDisk(file);
            isSynced = true;
        }
        catch (IOException e)
        {
            throw Failed(e);
        }
    }

    /// <inheritdoc/>
    public void Complete() => Sync();

    /// <inheritdoc/>
    public void Dispose() => file.Dispose();

    private void Put(ReadOnlySpan<byte> blocks)
    {
        if (blocks.IsEmpty)
        {
            return;
        }

        try
        {
            RandomAccess.Write(file, blocks, onDisk);
            onDisk += blocks.Length;
            isSynced = false;
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException or ArgumentOutOfRangeException)
        {
            CutBack(blocks);
            throw Failed(e);
        }
    }

    // A full disk takes a part of what it is given. The file shall end with the last block that is whole.
    private void CutBack(ReadOnlySpan<byte> blocks)
    {
        try
        {
            var taken = RandomAccess.GetLength(file) - onDisk;
            while (blocks.Length >= PcapngFormat.BlockHead && BinaryPrimitives.ReadInt32LittleEndian(blocks[sizeof(uint)..]) is var length && length <= taken)
            {
                onDisk += length;
                taken -= length;
                blocks = blocks[length..];
            }

            RandomAccess.SetLength(file, onDisk);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException or NotSupportedException)
        {
            // Then it ends within a block, which readers report as cut short.
        }
    }

    // The framework tells a file that is too large for its disk, such as one of 4 GB on many memory sticks, as a wrong argument.
    private IOException Failed(Exception cause)
    {
        var reason = cause is ArgumentOutOfRangeException
            ? "the file is as large as its disk allows; --rotate-size begins further ones"
            : cause.Message.Replace($" : '{path}'", "", StringComparison.Ordinal);
        return new IOException($"{path}: cannot be written further: {reason}", cause);
    }
}
