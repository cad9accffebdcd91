using System.IO.Compression;
using BusScope.Transport.Input;

namespace BusScope.Transport.Compression;

/// <summary>
/// The content of gzip data (RFC 1952), one member or several. <see cref="GZipStream"/> says nothing when its data are cut short.
/// So, once it has given everything, a small member of our own is put behind the data: only if the last real member was
/// complete does its content come out.
/// </summary>
internal sealed class GzipContent : DecompressedStream
{
    private static readonly byte[] Marker = "the end of the data"u8.ToArray();
    private static readonly byte[] MarkerMember = Compress(Marker);

    private readonly Tail tail;
    private readonly GZipStream content;

    public GzipContent(Stream source)
    {
        tail = new Tail(source);
        content = new GZipStream(tail, CompressionMode.Decompress);
    }

    /// <inheritdoc/>
    protected override (int Count, CompressionFault? Fault) Next(Span<byte> buffer)
    {
        try
        {
            var count = content.Read(buffer);
            return count > 0 ? (count, null) : (0, AtEnd());
        }
        catch (InvalidDataException e)
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

    private CompressionFault? AtEnd()
    {
        var cut = new CompressionFault(CaptureProblems.CompressionCutShort, null);
        tail.Append(MarkerMember);
        Span<byte> answer = stackalloc byte[Marker.Length + 1];
        var count = 0;
        try
        {
            for (var got = 1; got > 0 && count < answer.Length; count += got)
            {
                got = content.Read(answer[count..]);
            }
        }
        catch (InvalidDataException)
        {
            return cut;
        }

        // A finished member followed by something else asks for no further data.
        return answer[..count].SequenceEqual(Marker) ? null
            : tail.IsUntouched ? new CompressionFault(CaptureProblems.CompressionFollowed, null)
            : cut;
    }

    private static byte[] Compress(byte[] bytes)
    {
        using var result = new MemoryStream();
        using (var gzip = new GZipStream(result, CompressionLevel.Fastest, leaveOpen: true))
        {
            gzip.Write(bytes);
        }

        return result.ToArray();
    }

    /// <summary>The data, and behind them what is appended when they have ended.</summary>
    private sealed class Tail(Stream source) : ReadingStream
    {
        private byte[] appended = [];
        private int taken;
        private bool isAtEnd;

        public bool IsUntouched => taken == 0;

        public void Append(byte[] bytes) => appended = bytes;

        public override int Read(Span<byte> buffer)
        {
            var got = isAtEnd ? 0 : source.Read(buffer);
            if (got > 0)
            {
                return got;
            }

            isAtEnd = true;
            var count = Math.Min(buffer.Length, appended.Length - taken);
            appended.AsSpan(taken, count).CopyTo(buffer);
            taken += count;
            return count;
        }

        protected override void Dispose(bool disposing)
        {
            if (disposing)
            {
                source.Dispose();
            }

            base.Dispose(disposing);
        }
    }
}
