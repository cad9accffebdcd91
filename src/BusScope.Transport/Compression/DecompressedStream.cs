using BusScope.Frames.Diagnostics;
using BusScope.Transport.Input;

namespace BusScope.Transport.Compression;

/// <summary>What was wrong with compressed data.</summary>
/// <param name="Kind">The kind of fault.</param>
/// <param name="Detail">What was found, or null.</param>
internal sealed record CompressionFault(ProblemKind Kind, string? Detail);

/// <summary>
/// The content of compressed data. Where they are damaged or cut short, the content that was readable is given and then ends;
/// <see cref="Fault"/> says why.
/// </summary>
internal abstract class DecompressedStream : ReadingStream
{
    /// <summary>What was wrong, once the content has ended; or null.</summary>
    public CompressionFault? Fault { get; private set; }

    /// <summary>Whether the content ended before its end.</summary>
    public bool EndedEarly => Fault is not null && Fault.Kind != CaptureProblems.CompressionFollowed;

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

    /// <summary>The next bytes of the content and, at its end, what was wrong.</summary>
    protected abstract (int Count, CompressionFault? Fault) Next(Span<byte> buffer);
}
