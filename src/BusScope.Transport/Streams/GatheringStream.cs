using BusScope.Transport.Input;

namespace BusScope.Transport.Streams;

/// <summary>
/// A stream that is not read for every few bytes: after a read that brought little, a moment is let pass before the next. A sender that
/// writes frame by frame would wake the machine for each of them; what comes in large pieces is read without a pause.
/// </summary>
/// <param name="rest">Where the bytes come from; disposed with this.</param>
/// <param name="pause">Lets the moment pass.</param>
internal sealed class GatheringStream(Stream rest, Action pause) : ReadingStream
{
    // What senders with a buffer of the usual size write at once.
    private const int Much = 4 * 1024;

    private bool broughtLittle;

    /// <inheritdoc/>
    public override int Read(Span<byte> buffer)
    {
        if (broughtLittle)
        {
            pause();
        }

        var count = rest.Read(buffer);
        broughtLittle = count < Math.Min(Much, buffer.Length);
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
