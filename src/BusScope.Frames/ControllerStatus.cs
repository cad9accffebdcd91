namespace BusScope.Frames;

/// <summary>What the adapter of a live bus says about itself. Immutable; a new one for every change.</summary>
/// <param name="State">Where its controller stands.</param>
public sealed record ControllerStatus(ControllerState State)
{
    /// <summary>Since when it stands there, by the clock of the frames; <see cref="FrameTime.Never"/> where nobody saw the change.</summary>
    public FrameTime Since { get; init; } = FrameTime.Never;

    /// <summary>The transmit error counter (ISO 11898-1, fault confinement), 0 to 255; null where the adapter does not tell.</summary>
    public int? TransmitErrors { get; init; }

    /// <summary>The receive error counter, 0 to 255; null where the adapter does not tell.</summary>
    public int? ReceiveErrors { get; init; }

    /// <summary>Whether the controller is in listen-only mode and so cannot disturb the bus; null where the adapter does not tell.</summary>
    public bool? IsListenOnly { get; init; }

    /// <summary>Bits per second of the arbitration phase; null where none is set.</summary>
    public long? BitRate { get; init; }

    /// <summary>Bits per second of the data phase; null where none is set.</summary>
    public long? DataBitRate { get; init; }

    /// <summary>Frames that the controller or the system lost since the source was opened.</summary>
    public long LostFrames { get; init; }

    /// <summary>How often the controller went bus-off, as far as the adapter counts; otherwise 0.</summary>
    public long TimesBusOff { get; init; }
}

/// <summary>The fault confinement state of a controller (ISO 11898-1), and what can become of an adapter.</summary>
public enum ControllerState
{
    /// <summary>The adapter does not tell.</summary>
    Unknown,

    /// <summary>Error active: the normal state.</summary>
    ErrorActive,

    /// <summary>Still error active, but an error counter has reached 96.</summary>
    ErrorWarning,

    /// <summary>Error passive: an error counter has reached 128.</summary>
    ErrorPassive,

    /// <summary>Bus off: the controller has withdrawn from the bus.</summary>
    BusOff,

    /// <summary>The adapter is there, but switched off: no frame can come.</summary>
    Down,

    /// <summary>The adapter is not there: unplugged, or its driver unloaded.</summary>
    Gone,
}
