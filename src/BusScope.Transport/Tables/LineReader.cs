namespace BusScope.Transport.Tables;

/// <summary>
/// Lines of a stream, from one buffer of fixed size: a file without a single line end costs no more memory than one with. A
/// line is valid until the next call.
/// </summary>
internal sealed class LineReader(Stream stream)
{
    /// <summary>The longest line that is given; a longer one is passed over and said to be too long.</summary>
    public const int LongestLine = 16 * 1024;

    // 256 KiB stay in the second-level cache; a larger buffer is no faster.
    private const int BufferSize = 256 * 1024;

    private readonly byte[] buffer = new byte[BufferSize];
    private int start;
    private int end;
    private bool isAtEnd;

    // A stream that broke: told only after every whole line before the break was given.
    private Exception? broken;

    /// <summary>The number of the line given last, counted from 1.</summary>
    public long Number { get; private set; }

    /// <summary>What stands in the buffer and was not given yet: for a look ahead.</summary>
    public ReadOnlySpan<byte> Ahead => buffer.AsSpan(start, end - start);

    /// <summary>Fills the buffer as far as the stream goes.</summary>
    public void Fill()
    {
        buffer.AsSpan(start, end - start).CopyTo(buffer);
        end -= start;
        start = 0;
        while (!isAtEnd && end < buffer.Length)
        {
            try
            {
                var count = stream.Read(buffer, end, buffer.Length - end);
                isAtEnd = count == 0;
                end += count;
            }
            catch (Exception e) when (e is IOException or InvalidDataException)
            {
                broken = e;
                isAtEnd = true;
            }
        }
    }

    /// <summary>Passes over bytes of <see cref="Ahead"/>, such as a byte order mark.</summary>
    public void Skip(int count) => start += count;

    /// <summary>The next line without its end.</summary>
    /// <param name="line">The line; empty when it is too long.</param>
    /// <param name="isTooLong">Whether the line was longer than <see cref="LongestLine"/>.</param>
    /// <returns>False at the end of the stream.</returns>
    /// <exception cref="IOException">The stream broke; every whole line before was given.</exception>
    public bool TryRead(out ReadOnlySpan<byte> line, out bool isTooLong)
    {
        isTooLong = false;
        while (true)
        {
            var ahead = buffer.AsSpan(start, end - start);
            var length = ahead.IndexOf((byte)'\n');
            if (length >= 0 || (isAtEnd && broken is null && ahead.Length > 0))
            {
                length = length < 0 ? ahead.Length : length;
                start += Math.Min(length + 1, ahead.Length);
                Number++;
                isTooLong |= length > LongestLine;
                line = isTooLong ? [] : WithoutReturn(ahead[..length]);
                return true;
            }

            if (broken is not null)
            {
                throw new IOException(broken.Message, broken);
            }

            if (isAtEnd)
            {
                // A line too long that ends with the stream has no bytes left.
                Number += isTooLong ? 1 : 0;
                line = [];
                return isTooLong;
            }

            if (ahead.Length > LongestLine)
            {
                isTooLong = true;
                start = end;
            }

            Fill();
        }
    }

    private static ReadOnlySpan<byte> WithoutReturn(ReadOnlySpan<byte> line) => line is [.. var rest, (byte)'\r'] ? rest : line;
}
