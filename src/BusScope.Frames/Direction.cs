namespace BusScope.Frames;

/// <summary>Which way the frame went at the recording adapter (pcapng, enhanced packet block flags).</summary>
public enum Direction : byte
{
    /// <summary>The recording does not say.</summary>
    Unknown = 0,

    /// <summary>Received from the bus.</summary>
    Received = 1,

    /// <summary>Sent by the recording machine itself.</summary>
    Sent = 2,
}
