using System.Runtime.CompilerServices;

namespace BusScope.Frames;

/// <summary>Room for the 64 payload bytes of the longest CAN FD frame, inside the frame itself.</summary>
[InlineArray(Capacity)]
public struct Payload
{
    /// <summary>The most bytes a frame can carry (ISO 11898-1, CAN FD).</summary>
    public const int Capacity = 64;

    /// <summary>The most bytes a Classical CAN frame can carry.</summary>
    public const int ClassicCapacity = 8;

    private byte first;
}
