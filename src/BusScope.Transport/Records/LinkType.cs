namespace BusScope.Transport.Records;

/// <summary>Link types of captures that can hold CAN frames (tcpdump.org/linktypes).</summary>
internal enum LinkType : ushort
{
    /// <summary>LINKTYPE_LINUX_SLL: Linux cooked capture.</summary>
    Cooked = 113,

    /// <summary>LINKTYPE_CAN_SOCKETCAN.</summary>
    Can = 227,

    /// <summary>LINKTYPE_LINUX_SLL2: Linux cooked capture, second form.</summary>
    Cooked2 = 276,
}
