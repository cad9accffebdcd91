using BusScope.Frames;

namespace BusScope.Transport.Tables;

/// <summary>A text table of frames.</summary>
public static class TextTable
{
    /// <summary>Reads a table from a stream.</summary>
    public static IFrameSource Open(Stream stream, string name, CaptureOptions options)
    {
        ArgumentNullException.ThrowIfNull(stream);
        ArgumentNullException.ThrowIfNull(options);
        stream.Dispose();
        throw new SourceException($"{name}: text tables cannot be read yet");
    }
}
