using BusScope.Frames;
using BusScope.Frames.Diagnostics;

namespace BusScope.Transport.Compression;

/// <summary>A capture inside compressed data: adds to the capture's problems what was wrong with the compression.</summary>
/// <param name="inner">The capture; disposed with this.</param>
/// <param name="layers">The compressions around it, the outermost first.</param>
/// <param name="format">What is around what.</param>
/// <param name="file">The compressed file, for the progress; null where it is a stream. Disposed by the capture.</param>
internal sealed class DecompressedSource(IFrameSource inner, IReadOnlyList<DecompressedStream> layers, string format, FileStream? file) : ICaptureSource
{
    private readonly long length = file?.Length ?? 0;
    private bool isOver;

    /// <inheritdoc/>
    public string Name => inner.Name;

    /// <inheritdoc/>
    public string Format => format;

    /// <inheritdoc/>
    public IReadOnlyList<string> Comments => (inner as ICaptureSource)?.Comments ?? [];

    /// <inheritdoc/>
    public IReadOnlyList<Bus> Buses => inner.Buses;

    /// <inheritdoc/>
    public ProblemLog Problems => inner.Problems;

    /// <inheritdoc/>
    public double? Progress => isOver ? 1 : file is not null && length > 0 ? Math.Min(1, file.Position / (double)length) : inner.Progress;

    /// <inheritdoc/>
    public SourceClock Clock => inner.Clock;

    /// <inheritdoc/>
    public ControllerStatus? StatusOf(int bus) => inner.StatusOf(bus);

    /// <inheritdoc/>
    public SourceState Read(FrameBatch batch, CancellationToken cancellation)
    {
        var state = inner.Read(batch, cancellation);
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

    /// <inheritdoc/>
    public void Dispose() => inner.Dispose();
}
