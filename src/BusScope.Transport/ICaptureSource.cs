using BusScope.Frames;

namespace BusScope.Transport;

/// <summary>A recorded file of frames, with what it says of itself as a whole.</summary>
public interface ICaptureSource : IFrameSource
{
    /// <summary>What kind of file it is: <c>pcapng</c>, <c>pcap</c>, with <c>gzip</c> or <c>zstd</c> around it.</summary>
    string Format { get; }
}
