namespace BusScope.Transport.Input;

/// <summary>A stream of which the first bytes were already read to recognise it: gives those first, then the rest.</summary>
internal sealed class PrefixedStream(byte[] prefix, int prefixLength, Stream rest) : Stream
{
    private int taken;

    /// <summary>Where the bytes behind the first ones come from.</summary>
    public Stream Rest => rest;

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
        if (taken == prefixLength)
        {
            return rest.Read(buffer);
        }

        var count = Math.Min(buffer.Length, prefixLength - taken);
        prefix.AsSpan(taken, count).CopyTo(buffer);
        taken += count;
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

    /// <inheritdoc/>
    protected override void Dispose(bool disposing)
    {
        if (disposing)
        {
            rest.Dispose();
        }

        base.Dispose(disposing);
    }
}
