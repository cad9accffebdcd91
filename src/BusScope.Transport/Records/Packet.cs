using BusScope.Frames;

namespace BusScope.Transport.Records;

/// <summary>One packet of a capture, before it is known whether it holds a CAN frame.</summary>
internal readonly ref struct Packet
{
    /// <summary>The recorded bytes.</summary>
    public required ReadOnlySpan<byte> Bytes { get; init; }

    /// <summary>How many bytes the packet had on the wire.</summary>
    public required uint OriginalLength { get; init; }

    /// <summary>When it was recorded.</summary>
    public required FrameTime Time { get; init; }

    /// <summary>Which way it went, as far as the file says.</summary>
    public Direction Direction { get; init; }

    /// <summary>Whether the file was written in big-endian order: cooked records keep the writer's order.</summary>
    public required bool IsBigEndian { get; init; }

    /// <summary>Where the packet's block or record begins in the file.</summary>
    public required long Offset { get; init; }
}
