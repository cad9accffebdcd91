namespace BusScope.Frames;

/// <summary>
/// What an adapter's report of a fault says about its controller. The identifier holds the error classes, the payload the details
/// (Linux, include/uapi/linux/can/error.h).
/// </summary>
/// <param name="State">The state the controller has come to, or null where the report does not tell.</param>
/// <param name="TransmitErrors">The transmit error counter, or null.</param>
/// <param name="ReceiveErrors">The receive error counter, or null.</param>
/// <param name="IsOverrun">Whether the controller lost a frame because its own memory was full.</param>
/// <param name="IsUnacknowledged">Whether a frame that was sent was acknowledged by nobody.</param>
public readonly record struct ErrorReport(ControllerState? State, byte? TransmitErrors, byte? ReceiveErrors, bool IsOverrun, bool IsUnacknowledged)
{
    // CAN_ERR_CRTL, _ACK, _BUSOFF, _RESTARTED, _CNT.
    private const uint ControllerClass = 0x004;
    private const uint AcknowledgeClass = 0x020;
    private const uint BusOffClass = 0x040;
    private const uint RestartedClass = 0x100;
    private const uint CountersClass = 0x200;

    // Payload byte 1: CAN_ERR_CRTL_RX_OVERFLOW; _RX_WARNING | _TX_WARNING; _RX_PASSIVE | _TX_PASSIVE; _ACTIVE. Bytes 6 and 7: the counters.
    private const int ControllerAt = 1;
    private const int Overflow = 0x01;
    private const int Warning = 0x0C;
    private const int Passive = 0x30;
    private const int Active = 0x40;
    private const int TransmitAt = 6;
    private const int ReceiveAt = 7;

    /// <summary>Reads an error report.</summary>
    /// <param name="frame">A frame of which <see cref="Frame.IsErrorReport"/> holds.</param>
    public static ErrorReport Read(in Frame frame)
    {
        var classes = frame.Id.Value;
        var details = frame.Room;
        var controller = (classes & ControllerClass) != 0 ? details[ControllerAt] : 0;
        var hasCounters = (classes & CountersClass) != 0 && frame.Length > ReceiveAt;
        return new ErrorReport(
            (classes & BusOffClass) != 0 ? ControllerState.BusOff
                : (controller & Passive) != 0 ? ControllerState.ErrorPassive
                : (controller & Warning) != 0 ? ControllerState.ErrorWarning
                : (controller & Active) != 0 || (classes & RestartedClass) != 0 ? ControllerState.ErrorActive
                : null,
            hasCounters ? details[TransmitAt] : null,
            hasCounters ? details[ReceiveAt] : null,
            (controller & Overflow) != 0,
            (classes & AcknowledgeClass) != 0);
    }
}
