namespace BusScope.Frames;

/// <summary>What kind of frame it is, beside its identifier and payload.</summary>
[Flags]
public enum FrameKinds : byte
{
    /// <summary>A Classical CAN data frame.</summary>
    None = 0,

    /// <summary>CAN FD: the data phase ran at the faster bit rate (BRS).</summary>
    BitRateSwitch = 0x01,

    /// <summary>CAN FD: the sender is error-passive (ESI).</summary>
    ErrorStateIndicator = 0x02,

    /// <summary>A CAN FD frame (FDF).</summary>
    FlexibleDataRate = 0x04,

    /// <summary>
    /// Not a frame of the bus but an adapter's report of a fault: the identifier holds the error classes and the payload the
    /// details, as the Linux kernel defines them (include/uapi/linux/can/error.h).
    /// </summary>
    ErrorReport = 0x08,

    /// <summary>A remote frame: a request for data, without payload; its length says how much is asked for (RTR).</summary>
    Remote = 0x10,
}
