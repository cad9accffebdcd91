namespace BusScope.Transport.Pcan;

/// <summary>Status codes of the maker's programming interface (PCANBasic.h of 2022-11-17, "PCAN error and status codes").</summary>
[Flags]
internal enum PcanStatus : uint
{
    Ok = 0,
    ReadTooLate = 0x2,
    BusLight = 0x4,
    BusWarning = 0x8,
    BusOff = 0x10,
    QueueEmpty = 0x20,
    QueueReadTooLate = 0x40,
    NoHardwareFound = 0x100,
    NoDriver = 0x200,
    HardwareInUse = 0x400,
    NetInUse = 0x800,

    /// <summary>
    /// A bit that all errors of handles have: of hardware (0x1400), of a net (0x1800), of a client (0x1C00). They share their other
    /// bits with <see cref="HardwareInUse"/> and <see cref="NetInUse"/>, so this one is asked for first.
    /// </summary>
    BadHandle = 0x1000,
    NoResource = 0x2000,
    BadParameter = 0x4000,
    BadValue = 0x8000,
    BusPassive = 0x4_0000,
    Caution = 0x200_0000,
    NotInitialized = 0x400_0000,
}

/// <summary>Parameters of a channel (the same file, "PCAN parameters").</summary>
internal enum PcanParameter : byte
{
    ReceiveEvent = 0x03,
    ListenOnly = 0x08,
    ChannelCondition = 0x0D,
    HardwareName = 0x0E,
    AllowErrorFrames = 0x20,
}

/// <summary>What kind of message was read (the same file, "PCAN message types").</summary>
[Flags]
internal enum PcanMessageType : byte
{
    Standard = 0,
    Remote = 0x01,
    Extended = 0x02,
    FlexibleDataRate = 0x04,
    BitRateSwitch = 0x08,
    ErrorStateIndicator = 0x10,
    Echo = 0x20,
    ErrorFrame = 0x40,
    Status = 0x80,
}

/// <summary>Where the fields of a message and its time stand (the same file, TPCANMsg, TPCANMsgFD, TPCANTimestamp).</summary>
internal static class PcanLayout
{
    /// <summary>Bytes of TPCANMsgFD, the larger of the two messages, with its padding.</summary>
    public const int LongestMessage = 72;

    public const int TypeAt = 4;

    /// <summary>A length, 0 to 8; in a message of CAN FD the data length code, 0 to 15.</summary>
    public const int LengthAt = 5;

    public const int DataAt = 6;

    /// <summary>Bytes of either time: milliseconds, their overflow and microseconds, or microseconds of 64 bits.</summary>
    public const int TimeLength = 8;

    public const int OverflowAt = 4;
    public const int MicrosecondsAt = 6;

    /// <summary>MAX_LENGTH_HARDWARE_NAME.</summary>
    public const int NameLength = 33;

    /// <summary>PCAN_CHANNEL_AVAILABLE, a bit of the channel's condition.</summary>
    public const uint Available = 0x01;

    /// <summary>Payload bytes by data length code (ISO 11898-1, table of the DLC).</summary>
    public static ReadOnlySpan<byte> Lengths => [0, 1, 2, 3, 4, 5, 6, 7, 8, 12, 16, 20, 24, 32, 48, 64];
}
