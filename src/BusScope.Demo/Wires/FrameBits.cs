using BusScope.Frames;

namespace BusScope.Demo.Wires;

/// <summary>How long a frame holds the bus.</summary>
internal static class FrameBits
{
    /// <summary>Bits from start of frame to end of frame, stuff bits included.</summary>
    public static int Of(in Frame frame) => (frame.Id.IsExtended ? 64 : 44) + (8 * frame.Length) + (frame.Length + 4);
}
