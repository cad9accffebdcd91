namespace BusScope.Transport.Records;

/// <summary>
/// The record that carries a CAN frame in a capture: identifier word, length, flags, reserved, raw length code, data. The same
/// bytes as the Linux kernel's <c>struct can_frame</c> and <c>struct canfd_frame</c> (include/uapi/linux/can.h); in captures
/// LINKTYPE_CAN_SOCKETCAN (tcpdump.org/linktypes) with the identifier word big-endian.
/// </summary>
internal static class RecordLayout
{
    /// <summary>Bytes before the data.</summary>
    public const int HeaderLength = 8;

    /// <summary>The whole record of a Classical CAN frame.</summary>
    public const int ClassicLength = 16;

    /// <summary>The whole record of a CAN FD frame.</summary>
    public const int FlexibleLength = 72;

    /// <summary>Where the payload length stands.</summary>
    public const int LengthAt = 4;

    /// <summary>Where the CAN FD flags stand.</summary>
    public const int FlagsAt = 5;

    /// <summary>Where the raw data length code of a Classical CAN frame of eight bytes stands.</summary>
    public const int RawCodeAt = 7;

    /// <summary>The largest raw data length code.</summary>
    public const int LargestRawCode = 15;

    /// <summary>Word: the identifier has 29 bits.</summary>
    public const uint ExtendedBit = 0x8000_0000;

    /// <summary>Word: a remote frame.</summary>
    public const uint RemoteBit = 0x4000_0000;

    /// <summary>Word: an adapter's report of a fault.</summary>
    public const uint ErrorBit = 0x2000_0000;

    /// <summary>How far the word's bits for remote frame and error report lie above those of FrameKinds.</summary>
    public const int WordToKinds = 26;

    /// <summary>Flags: bit rate switch, error state indicator, CAN FD, the same bits as in FrameKinds.</summary>
    public const byte FlexibleFlags = 0x07;

    /// <summary>Flags: this is a CAN FD frame. Some recorders leave it out; the length of the record tells it too.</summary>
    public const byte FlexibleFlag = 0x04;

    /// <summary>In the place of the length: this is a CAN XL frame.</summary>
    public const byte XlFlag = 0x80;
}
