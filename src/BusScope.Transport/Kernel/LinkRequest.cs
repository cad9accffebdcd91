using System.Buffers.Binary;
using System.Text;

namespace BusScope.Transport.Kernel;

/// <summary>The requests to the kernel about interfaces (rtnetlink(7)): ask, switch on or off, set up. They never reach a bus.</summary>
internal static class LinkRequest
{
    /// <summary>CAN_CTRLMODE_LISTENONLY (include/uapi/linux/can/netlink.h).</summary>
    public const uint ListenOnly = 0x02;

    /// <summary>CAN_CTRLMODE_FD.</summary>
    private const uint Flexible = 0x20;

    // RTM_NEWLINK, RTM_GETLINK; NLM_F_REQUEST, _ACK, _DUMP; IFF_UP.
    private const ushort NewLink = 16;
    private const ushort GetLink = 18;
    private const ushort Request = 0x001;
    private const ushort Acknowledged = 0x004;
    private const ushort All = 0x300;
    private const uint Up = 1;
    private const int HeaderSize = 16;
    private const int LinkHeaderSize = 16;

    // struct can_bittiming: eight numbers, of which only the bit rate is told; the kernel works out the rest.
    private const int BitTimingSize = 32;

    /// <summary>Asks for all interfaces.</summary>
    public static byte[] AskAll() => Close(Open(GetLink, Request | All, 0, 0, 0));

    /// <summary>Asks for one.</summary>
    public static byte[] Ask(int index) => Close(Open(GetLink, Request | Acknowledged, index, 0, 0));

    /// <summary>Switches an interface on or off.</summary>
    public static byte[] Switch(int index, bool isUp) => Close(Open(NewLink, Request | Acknowledged, index, isUp ? Up : 0, Up));

    /// <summary>Sets bit rate and listen-only mode of a controller that is switched off.</summary>
    /// <param name="index">The interface's number.</param>
    /// <param name="bitRate">Bits per second.</param>
    /// <param name="dataBitRate">Bits per second of the data phase, or null for Classical CAN only.</param>
    public static byte[] SetUp(int index, long bitRate, long? dataBitRate)
    {
        var message = Open(NewLink, Request | Acknowledged, index, 0, 0);
        var information = Begin(message, 18); // IFLA_LINKINFO
        var kind = Begin(message, 1); // IFLA_INFO_KIND
        message.AddRange(Encoding.ASCII.GetBytes("can"));
        End(message, kind);
        var data = Begin(message, 2); // IFLA_INFO_DATA
        AddBitTiming(message, 1, bitRate); // IFLA_CAN_BITTIMING
        var mode = Begin(message, 5); // IFLA_CAN_CTRLMODE: mask, flags
        AddNumber(message, ListenOnly | Flexible);
        AddNumber(message, ListenOnly | (dataBitRate is null ? 0 : Flexible));
        End(message, mode);
        if (dataBitRate is { } rate)
        {
            AddBitTiming(message, 9, rate); // IFLA_CAN_DATA_BITTIMING
        }

        End(message, data);
        End(message, information);
        return Close(message);
    }

    private static List<byte> Open(ushort type, int flags, int index, uint values, uint mask)
    {
        var header = new byte[HeaderSize + LinkHeaderSize];
        BinaryPrimitives.WriteUInt16LittleEndian(header.AsSpan(4), type);
        BinaryPrimitives.WriteUInt16LittleEndian(header.AsSpan(6), (ushort)flags);
        BinaryPrimitives.WriteInt32LittleEndian(header.AsSpan(8), index);
        BinaryPrimitives.WriteInt32LittleEndian(header.AsSpan(HeaderSize + 4), index);
        BinaryPrimitives.WriteUInt32LittleEndian(header.AsSpan(HeaderSize + 8), values);
        BinaryPrimitives.WriteUInt32LittleEndian(header.AsSpan(HeaderSize + 12), mask);
        return [.. header];
    }

    private static byte[] Close(List<byte> message)
    {
        byte[] bytes = [.. message];
        BinaryPrimitives.WriteInt32LittleEndian(bytes, bytes.Length);
        return bytes;
    }

    private static void AddBitTiming(List<byte> message, ushort type, long rate)
    {
        var timing = Begin(message, type);
        AddNumber(message, (uint)rate);
        message.AddRange(new byte[BitTimingSize - sizeof(uint)]);
        End(message, timing);
    }

    private static void AddNumber(List<byte> message, uint number)
    {
        Span<byte> bytes = stackalloc byte[sizeof(uint)];
        BinaryPrimitives.WriteUInt32LittleEndian(bytes, number);
        message.AddRange(bytes);
    }

    private static int Begin(List<byte> message, ushort type)
    {
        message.AddRange([0, 0, (byte)type, (byte)(type >> 8)]);
        return message.Count - 4;
    }

    private static void End(List<byte> message, int from)
    {
        var length = message.Count - from;
        (message[from], message[from + 1]) = ((byte)length, (byte)(length >> 8));
        while (message.Count % 4 != 0)
        {
            message.Add(0);
        }
    }
}
