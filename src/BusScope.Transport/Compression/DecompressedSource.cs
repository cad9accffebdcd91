using BusScope.Frames;

namespace BusScope.Transport.Compression;

/// <summary>A capture inside compressed data: adds to the capture's problems what was wrong with the compression.</summary>
/// <param name="inner">The capture; disposed with this.</param>
/// <param name="layers">The compressions around it, the outermost first.</param>
/// <param name="format">What is around what.</param>
/// <param name="file">The compressed file, for the progress; null where it is a stream. Disposed by the capture.</param>
internal sealed class DecompressedSource(IFrameSource inner, IReadOnlyList<DecompressedStream> layers, string format, FileStream? file)
    : SourceAround(inner), ICaptureSource
{
    private readonly long length = file?.Length ?? 0;
    private bool isOver;

    /// <inheritdoc/>
    public string Format => format;

    /// <inheritdoc/>
    public override double? Progress => isOver ? 1 : file is not null && length > 0 ? Math.Min(1, file.Position / (double)length) : base.Progress;

    /// <inheritdoc/>
    public override SourceState Read(FrameBatch batch, CancellationToken cancellation)
    {
        var state = Inner.Read(batch, cancellation);
        if (state == SourceState.Ended && !isOver)
        {
            isOver = true;
            foreach (var layer in layers)
            {
                if (layer.Fault is { } fault)
                {
                    Problems.Add(fault.Kind, default, fault.Detail);
                }
            }
        }

        return state;
    }
}
