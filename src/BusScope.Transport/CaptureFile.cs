using BusScope.Frames;
using BusScope.Transport.Audit;
using BusScope.Transport.Compression;
using BusScope.Transport.Input;
using BusScope.Transport.Pcap;
using BusScope.Transport.Pcapng;
using BusScope.Transport.Streams;
using BusScope.Transport.Tables;
using Microsoft.Win32.SafeHandles;

namespace BusScope.Transport;

/// <summary>The front door to recorded frames: recognises a file by its content, whatever its name.</summary>
public static class CaptureFile
{
    /// <summary>The name that stands for standard input.</summary>
    public const string StandardInput = "-";

    // One layer for the file, one for a download around it; more is a trap.
    private const int MostLayers = 2;
    private const int BytesLookedAt = 512;

    /// <summary>Opens a capture: pcapng, pcap, a text table, each also inside gzip or zstd; or a pipe with a name, through which one arrives.</summary>
    /// <param name="path">A file, or <c>-</c> for standard input.</param>
    /// <param name="options">How to read it, or null.</param>
    /// <exception cref="SourceException">There is no such file, it may not be read, or it is of no known kind.</exception>
    public static IFrameSource Open(string path, CaptureOptions? options = null)
    {
        ArgumentException.ThrowIfNullOrEmpty(path);
        if (path == StandardInput)
        {
            return Open(Console.OpenStandardInput(), "standard input", options);
        }

        var handle = OpenHandle(path);
        try
        {
            var capture = Open(handle, path, options ?? CaptureOptions.Default);
            return capture is StreamSource ? capture : Audited(capture);
        }
        catch (Exception e)
        {
            handle.Dispose();
            if (e is IOException or UnauthorizedAccessException)
            {
                throw new SourceException($"{path}: cannot be read: {e.Message}", e);
            }

            throw;
        }
    }

    /// <summary>Opens a capture that comes as a stream, without ever going back in it; frames are given as their bytes arrive.</summary>
    /// <param name="stream">The bytes; disposed with the source, also when opening fails.</param>
    /// <param name="name">What a person calls it.</param>
    /// <param name="options">How to read it, or null.</param>
    /// <exception cref="SourceException">The stream is empty, fails, or is of no known kind.</exception>
    public static IFrameSource Open(Stream stream, string name, CaptureOptions? options = null) => Audited(OpenUnaudited(stream, name, options));

    /// <summary>A capture with the problems that its reader finds, and no others.</summary>
    internal static IFrameSource OpenUnaudited(Stream stream, string name, CaptureOptions? options = null)
    {
        ArgumentNullException.ThrowIfNull(stream);
        try
        {
            return Open(stream, name, options ?? CaptureOptions.Default, mayWait: true, [], null);
        }
        catch (Exception e)
        {
            stream.Dispose();
            if (e is IOException)
            {
                throw new SourceException($"{name}: cannot be read: {e.Message}", e);
            }

            throw;
        }
    }

    // The readers of packets count impossible identifiers, lengths and flags themselves, with the place in the file; a table does not.
    private static AuditedSource Audited(IFrameSource capture) =>
        new(capture, areFramesChecked: capture is ICaptureSource { Format: var format } && !format.StartsWith(TextTable.Format, StringComparison.Ordinal));

    private static SafeFileHandle OpenHandle(string path)
    {
        if (Directory.Exists(path))
        {
            throw new SourceException($"{path}: is a folder, not a capture");
        }

        try
        {
            return File.OpenHandle(path, FileMode.Open, FileAccess.Read, FileShare.ReadWrite | FileShare.Delete, FileOptions.SequentialScan);
        }
        catch (Exception e) when (e is FileNotFoundException or DirectoryNotFoundException)
        {
            throw new SourceException($"{path}: does not exist", e);
        }
        catch (UnauthorizedAccessException e)
        {
            throw new SourceException($"{path}: may not be read by this user", e);
        }
        catch (Exception e) when (e is IOException or ArgumentException or NotSupportedException)
        {
            throw new SourceException($"{path}: cannot be opened: {e.Message}", e);
        }
    }

    private static IFrameSource Open(SafeFileHandle handle, string path, CaptureOptions options)
    {
        // No buffer of its own: the window is the buffer. Disposing the stream disposes the handle.
        var file = new FileStream(handle, FileAccess.Read, bufferSize: 0);
        if (!file.CanSeek)
        {
            // A pipe that has a name: what comes through it arrives.
            return new StreamSource(file, path, options);
        }

        var first = new byte[BytesLookedAt];
        var count = RandomAccess.Read(handle, first, 0);
        return CaptureFormats.Recognise(first.AsSpan(0, count)) switch
        {
            CaptureFormat.Pcapng => new PcapngReader(new ByteWindow(file, path), path, options),
            CaptureFormat.Pcap => new PcapReader(new ByteWindow(file, path), path, options),
            _ => Open(file, path, options, mayWait: false, [], file),
        };
    }

    private static IFrameSource Open(Stream stream, string name, CaptureOptions options, bool mayWait, List<DecompressedStream> layers, FileStream? file)
    {
        var first = new byte[BytesLookedAt];
        var count = 0;
        for (var got = 1; got > 0 && count < CaptureFormats.MarkLength; count += got)
        {
            got = stream.Read(first, count, first.Length - count);
        }

        var whole = new PrefixedStream(first, count, stream);
        var format = CaptureFormats.Recognise(first.AsSpan(0, count));
        switch (format)
        {
            case CaptureFormat.Pcapng:
                return Wrap(new PcapngReader(new ByteWindow(whole, name, mayWait), name, options), "pcapng", layers, file);
            case CaptureFormat.Pcap:
                return Wrap(new PcapReader(new ByteWindow(whole, name, mayWait), name, options), "pcap", layers, file);
            case CaptureFormat.Text:
                return Wrap(TextTable.Open(whole, name, options.Table), TextTable.Format, layers, file);
            case CaptureFormat.Gzip or CaptureFormat.Zstd when layers.Count < MostLayers:
                DecompressedStream content = format == CaptureFormat.Gzip ? new GzipContent(whole) : new ZstdContent(whole);
                return Open(content, name, options, mayWait, [.. layers, content], file);
            case CaptureFormat.Gzip or CaptureFormat.Zstd:
                throw new SourceException($"{name}: is compressed more than {MostLayers} times over");
            case CaptureFormat.Empty when layers is [.., { Fault: { } fault }]:
                throw new SourceException($"{name}: {fault.Kind.Meaning}, before any content");
            case CaptureFormat.Empty:
                throw new SourceException(layers.Count == 0 ? $"{name}: is empty" : $"{name}: has nothing inside its compression");
            default:
                throw new SourceException($"{name}: is of an unknown kind; pcapng, pcap and text tables are read, also inside gzip or zstd");
        }
    }

    private static IFrameSource Wrap(IFrameSource capture, string format, List<DecompressedStream> layers, FileStream? file)
    {
        if (layers.Count == 0)
        {
            return capture;
        }

        var around = layers.AsEnumerable().Reverse().Select(layer => layer is GzipContent ? "gzip" : "zstd");
        return new DecompressedSource(capture, layers, $"{format} in {string.Join(" in ", around)}", file);
    }
}
