using BusScope.Frames;
using Microsoft.Win32.SafeHandles;

namespace BusScope.Transport.Input;

/// <summary>
/// The one buffer between a file or stream and its parser. The parser reads from <see cref="Start"/> to <see cref="End"/> and moves
/// <see cref="Start"/> on; <see cref="Fill"/> moves the rest to the front and reads behind it.
/// </summary>
internal sealed class ByteWindow : IDisposable
{
    /// <summary>Bytes of room; nothing longer can be looked at as one piece.</summary>
    public const int Capacity = 256 * 1024;

    // What is read at once is still in the processor's second-level cache when it is parsed, with much else beside it.
    private const int Portion = 128 * 1024;

    private readonly byte[] buffer = new byte[Capacity];
    private readonly SafeFileHandle? file;
    private readonly Stream stream;
    private readonly string name;

    // Where the window's first byte stands in the input.
    private long origin;

    /// <summary>A window on a file that can be read at any place.</summary>
    /// <param name="file">The file; disposed with the window.</param>
    /// <param name="name">What a person calls it.</param>
    public ByteWindow(FileStream file, string name)
    {
        stream = file;
        this.file = file.SafeFileHandle;
        this.name = name;
        Opened = new OpenedFile(FileIdentity.Of(file.SafeFileHandle), file.Length);
    }

    /// <summary>A window on bytes as they come.</summary>
    /// <param name="stream">Where they come from; disposed with the window.</param>
    /// <param name="name">What a person calls it.</param>
    /// <param name="mayWait">Whether reading may wait for bytes that somebody has yet to send.</param>
    public ByteWindow(Stream stream, string name, bool mayWait)
    {
        this.stream = stream;
        this.name = name;
        MayWait = mayWait;
    }

    /// <summary>The index of the first byte not yet taken.</summary>
    public int Start { get; set; }

    /// <summary>The index behind the last byte read.</summary>
    public int End { get; private set; }

    /// <summary>Whether reading may wait for bytes that somebody has yet to send.</summary>
    public bool MayWait { get; }

    /// <summary>Whether the end of the input was met, so that no byte will come behind <see cref="End"/>.</summary>
    public bool IsAtEnd { get; private set; }

    /// <summary>The bytes not yet taken.</summary>
    public ReadOnlySpan<byte> Bytes => buffer.AsSpan(Start, End - Start);

    /// <summary>The place of <see cref="Start"/> in the input.</summary>
    public long Offset => origin + Start;

    /// <summary>How far the input was taken, 0 to 1, or null where its length is not known.</summary>
    public double? Progress => Opened is { Length: > 0 and var length } ? Math.Min(1, Offset / (double)length) : null;

    /// <summary>The file, in which reading can go on at any place; null where the bytes come as they come.</summary>
    public OpenedFile? Opened { get; }

    /// <summary>Goes on at a place of the file; only where there is one.</summary>
    /// <param name="offset">The place of the next byte.</param>
    /// <param name="of">The file in which that place was.</param>
    /// <exception cref="SourceException">It is another file by now, or was cut.</exception>
    public void MoveTo(long offset, OpenedFile of)
    {
        if (of.Refuses(Opened!.Value) is { } why)
        {
            throw new SourceException($"{name}: {why}");
        }

        (origin, Start, End) = (offset, 0, 0);
        IsAtEnd = false;
    }

    /// <summary>Whether the input ended because of a fault that its stream tells of.</summary>
    public bool EndedByFault => stream is PrefixedStream { Rest: Compression.DecompressedStream { EndedEarly: true } };

    /// <summary>Moves what is left to the front and reads more behind it, once.</summary>
    /// <returns>False at the end of the input.</returns>
    /// <exception cref="SourceException">The file or stream failed.</exception>
    public bool Fill()
    {
        if (IsAtEnd)
        {
            return false;
        }

        var rest = End - Start;
        buffer.AsSpan(Start, rest).CopyTo(buffer);
        origin += Start;
        Start = 0;
        End = rest;
        var room = buffer.AsSpan(rest, Math.Min(Portion, Capacity - rest));
        int got;
        try
        {
            got = file is not null ? RandomAccess.Read(file, room, origin + rest) : stream.Read(room);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException or ObjectDisposedException)
        {
            IsAtEnd = true;
            throw new SourceException($"{name}: reading failed at byte {origin + rest}: {e.Message}", e);
        }

        End += got;
        IsAtEnd = got == 0;
        return got > 0;
    }

    /// <inheritdoc/>
    public void Dispose() => stream.Dispose();
}
