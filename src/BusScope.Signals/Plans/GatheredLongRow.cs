using System.Diagnostics.CodeAnalysis;
using System.Runtime.InteropServices;
using BusScope.Frames;

namespace BusScope.Signals.Plans;

/// <summary>A frame of a message of more than eight bytes on its way to a <see cref="MessageBlock"/>.</summary>
public struct GatheredLongRow
{
    private Payload room;

    /// <summary>When it was received, nanoseconds.</summary>
    public long Time { get; private set; }

    /// <summary>All 64 bytes of room for the payload, undefined behind its length.</summary>
    [UnscopedRef]
    public readonly ReadOnlySpan<byte> Room => room;

    /// <summary>Writes a frame over whatever stood here.</summary>
    public void Set(in Frame frame)
    {
        Time = frame.Time.Nanoseconds;
        room = MemoryMarshal.AsRef<Payload>(frame.Room);
    }
}
