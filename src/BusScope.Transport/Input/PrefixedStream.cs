namespace BusScope.Transport.Input;

/// <summary>A stream of which the first bytes were already read to recognise it: gives those first, then the rest.</summary>
internal sealed class PrefixedStream(byte[] prefix, int prefixLength, Stream rest) : ReadingStream
{
    private int taken;

    /// <summary>Where the bytes behind the first ones come from.</summary>
    public Stream Rest => rest;

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
    protected override void Dispose(bool disposing)
    {
        if (disposing)
        {
            rest.Dispose();
        }

        base.Dispose(disposing);
    }
}
