using BusScope.Frames;

namespace BusScope.Signals.Plans;

/// <summary>What a 29-bit identifier says in a SAE J1939 network (SAE J1939-21, protocol data unit fields).</summary>
/// <param name="Priority">0, the most urgent, to 7.</param>
/// <param name="Pgn">The parameter group number, 0 to 0x3FFFF, both data page bits included; its low byte is 0 where the group is sent to a destination.</param>
/// <param name="Destination">The address it is sent to, 255 for all.</param>
/// <param name="Source">The sender's address.</param>
public readonly record struct J1939Id(int Priority, int Pgn, int Destination, int Source)
{
    /// <summary>The address that means all.</summary>
    public const int Everyone = 0xFF;

    // From this format value on (PDU2) the specific field belongs to the group's number; below (PDU1) it is the destination.
    private const int FirstBroadcastFormat = 0xF0;
    private const int PageBits = 3;

    /// <summary>Takes an extended identifier apart.</summary>
    public static J1939Id From(CanId id)
    {
        var value = (int)id.Value;
        var source = value & 0xFF;
        var specific = (value >> 8) & 0xFF;
        var format = (value >> 16) & 0xFF;
        var pages = (value >> 24) & PageBits;
        var group = (pages << 16) | (format << 8);
        return format < FirstBroadcastFormat
            ? new J1939Id(value >> 26, group, specific, source)
            : new J1939Id(value >> 26, group | specific, Everyone, source);
    }

    /// <summary>Puts the identifier together.</summary>
    public CanId ToCanId() => new(
        (uint)((Priority & 7) << 26 | (Pgn & 0x3FFFF) << 8 | Source & 0xFF | (IsAddressed ? (Destination & 0xFF) << 8 : 0)),
        isExtended: true);

    private bool IsAddressed => (Pgn >> 8 & 0xFF) < FirstBroadcastFormat;
}
