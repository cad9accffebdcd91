using BusScope.Frames;

namespace BusScope.Demo.Wires;

/// <summary>
/// Faults as a listening adapter reports them: error classes in the identifier, details in the payload (Linux kernel,
/// include/uapi/linux/can/error.h).
/// </summary>
internal static class ErrorReports
{
    /// <summary>Error flags of both sides, delimiter and interframe space: 12 + 8 + 3 bits (ISO 11898-1).</summary>
    public const int RecoveryBits = 23;

    private const uint Protocol = 0x08;
    private const uint Bus = 0x80;
    private const byte BitFault = 0x01;
    private const byte FormFault = 0x02;
    private const byte StuffFault = 0x04;
    private const byte InData = 0x0A;
    private const byte InAcknowledgeDelimiter = 0x1B;

    /// <summary>Six equal bits in a row.</summary>
    public static Frame Stuff(ushort bus, long at) => Report(bus, at, StuffFault, InData);

    /// <summary>A bit other than the one that was sent.</summary>
    public static Frame Bit(ushort bus, long at) => Report(bus, at, BitFault, InData);

    /// <summary>An error flag where the delimiter after the acknowledge slot should be: nobody acknowledged.</summary>
    public static Frame NotAcknowledged(ushort bus, long at) => Report(bus, at, FormFault, InAcknowledgeDelimiter);

    private static Frame Report(ushort bus, long at, byte kind, byte place)
    {
        var frame = default(Frame);
        frame.Set(new FrameTime(at), bus, new CanId(Protocol | Bus, false), FrameKinds.ErrorReport, [0, 0, kind, place, 0, 0, 0, 0]);
        return frame;
    }
}
