using ZstdSharp;

namespace BusScope.Transport.Compression;

/// <summary>The content of zstd data (RFC 8878), one frame or several. The decompressor's own limit of 128 MB bounds its window.</summary>
internal sealed class ZstdContent(Stream source) : DecompressedStream
{
    private readonly DecompressionStream content = new(source, leaveOpen: false);

    /// <inheritdoc/>
    protected override (int Count, CompressionFault? Fault) Next(Span<byte> buffer)
    {
        try
        {
            return (content.Read(buffer), null);
        }
        catch (EndOfStreamException)
        {
            return (0, new CompressionFault(CaptureProblems.CompressionCutShort, null));
        }
        catch (ZstdException e)
        {
            return (0, new CompressionFault(CaptureProblems.CompressionDamaged, e.Message));
        }
    }

    /// <inheritdoc/>
    protected override void Dispose(bool disposing)
    {
        if (disposing)
        {
            content.Dispose();
        }

        base.Dispose(disposing);
    }
}
