using BusScope.Frames.Diagnostics;

namespace BusScope.Transport.Compression;

/// <summary>What was wrong with compressed data.</summary>
/// <param name="Kind">The kind of fault.</param>
/// <param name="Detail">What was found, or null.</param>
internal sealed record CompressionFault(ProblemKind Kind, string? Detail);

/// <summary>
/// The content of compressed data. Where they are damaged or cut short, the content that was readable is given and then ends;
/// <see cref="Fault"/> says why.
/// </summary>
internal abstract class DecompressedStream : Stream
{
    /// <summary>What was wrong, once the content has ended; or null.</summary>
    public CompressionFault? Fault { get; private set; }

    /// <summary>Whether the content ended before its end.</summary>
    public bool EndedEarly => Fault is not null && Fault.Kind != CaptureProblems.CompressionFollowed;

    /// <inheritdoc/>
    public override bool CanRead => true;

    /// <inheritdoc/>
    public override bool CanSeek => false;

    /// <inheritdoc/>
    public override bool CanWrite => false;

    /// <inheritdoc/>
    public override long Length => throw new NotSupportedException();

    /// <inheritdoc/>
    public override long Position { get => throw new NotSupportedException(); set => throw new NotSupportedException(); }

    /// <inheritdoc/>
    public override int Read(Span<byte> buffer)
    {
        if (buffer.IsEmpty || Fault is not null)
        {
            return 0;
        }

        var (count, fault) = Next(buffer);
        Fault = fault;
        return count;
    }

    /// <inheritdoc/>
    public override int Read(byte[] buffer, int offset, int count) => Read(buffer.AsSpan(offset, count));

    /// <inheritdoc/>
    public override void Flush()
    {
    }

    /// <inheritdoc/>
    public override long Seek(long offset, SeekOrigin origin) => throw new NotSupportedException();

    /// <inheritdoc/>
    public override void SetLength(long value) => throw new NotSupportedException();

    /// <inheritdoc/>
    public override void Write(byte[] buffer, int offset, int count) => throw new NotSupportedException();

    /// <summary>The next bytes of the content and, at its end, what was wrong.</summary>
    protected abstract (int Count, CompressionFault? Fault) Next(Span<byte> buffer);
}
