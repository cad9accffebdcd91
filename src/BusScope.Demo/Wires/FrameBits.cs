using BusScope.Frames;
using BusScope.Frames.Wire;

namespace BusScope.Demo.Wires;

/// <summary>How long a Classical CAN frame holds the bus.</summary>
internal static class FrameBits
{
    /// <summary>Bits from start of frame to end of frame, exact, stuff bits included.</summary>
    public static int Of(in Frame frame) => WireLength.Of(frame).Nominal - WireLength.InterframeSpace;
}
