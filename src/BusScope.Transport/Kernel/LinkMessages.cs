using System.Buffers.Binary;
using BusScope.Frames;

namespace BusScope.Transport.Kernel;

/// <summary>
/// What the kernel says about interfaces: the messages of rtnetlink(7), read into <see cref="KernelInterface"/>. Numbers from
/// include/uapi/linux/netlink.h, rtnetlink.h, if_link.h, if_arp.h, if.h and can/netlink.h.
/// </summary>
internal static class LinkMessages
{
    private const int HeaderSize = 16;
    private const int LinkHeaderSize = 16;
    private const int Error = 2;
    private const int Done = 3;
    private const int NewLink = 16;
    private const int DeletedLink = 17;
    private const int CanHardware = 280;
    private const uint IsUp = 1;

    /// <summary>Reads all messages of a datagram.</summary>
    /// <param name="bytes">The datagram.</param>
    /// <param name="found">Takes the interfaces in.</param>
    /// <returns>Whether a list has ended, or a request was answered; and with which <see cref="Errno"/> where it was refused.</returns>
    public static (bool IsDone, int Error) Read(ReadOnlySpan<byte> bytes, ICollection<KernelInterface> found)
    {
        while (bytes.Length >= HeaderSize)
        {
            var length = BinaryPrimitives.ReadInt32LittleEndian(bytes);
            if (length < HeaderSize || length > bytes.Length)
            {
                break;
            }

            var body = bytes[HeaderSize..length];
            switch (BinaryPrimitives.ReadUInt16LittleEndian(bytes[4..]))
            {
                case Done:
                    return (true, 0);
                case Error:
                    return (true, body.Length >= sizeof(int) ? -BinaryPrimitives.ReadInt32LittleEndian(body) : 0);
                case NewLink or DeletedLink when body.Length >= LinkHeaderSize:
                    found.Add(Link(body, BinaryPrimitives.ReadUInt16LittleEndian(bytes[4..]) == DeletedLink));
                    break;
                default:
                    break;
            }

            var next = (length + 3) & ~3;
            bytes = next < bytes.Length ? bytes[next..] : [];
        }

        return (false, 0);
    }

    // struct ifinfomsg, then attributes.
    private static KernelInterface Link(ReadOnlySpan<byte> body, bool isGone)
    {
        var link = new KernelInterface(BinaryPrimitives.ReadInt32LittleEndian(body[4..]), "")
        {
            IsCan = BinaryPrimitives.ReadUInt16LittleEndian(body[2..]) == CanHardware,
            IsUp = (BinaryPrimitives.ReadUInt32LittleEndian(body[8..]) & IsUp) != 0,
            IsGone = isGone,
        };
        var attributes = new LinkAttributes(body[LinkHeaderSize..]);
        while (attributes.Next())
        {
            link = attributes.Type switch
            {
                3 => link with { Name = attributes.Text() }, // IFLA_IFNAME
                18 => Information(link, attributes.Value), // IFLA_LINKINFO
                23 => link with { Overruns = attributes.Large(88) + attributes.Large(48) }, // IFLA_STATS64: rx_over_errors, rx_dropped
                _ => link,
            };
        }

        return link;
    }

    private static KernelInterface Information(KernelInterface link, ReadOnlySpan<byte> value)
    {
        var attributes = new LinkAttributes(value);
        while (attributes.Next())
        {
            link = attributes.Type switch
            {
                1 => link with { Kind = attributes.Text() }, // IFLA_INFO_KIND
                2 when link.IsController => Controller(link, attributes.Value), // IFLA_INFO_DATA
                3 when link.IsController => link with { TimesBusOff = attributes.Number(12) ?? 0 }, // IFLA_INFO_XSTATS: struct can_device_stats
                _ => link,
            };
        }

        return link;
    }

    private static KernelInterface Controller(KernelInterface link, ReadOnlySpan<byte> value)
    {
        var attributes = new LinkAttributes(value);
        while (attributes.Next())
        {
            link = attributes.Type switch
            {
                1 => link with { BitRate = Rate(attributes.Number(0)) }, // IFLA_CAN_BITTIMING
                4 => link with { State = StateOf(attributes.Number(0)) }, // IFLA_CAN_STATE
                5 => Mode(link, attributes.Number(4)), // IFLA_CAN_CTRLMODE: mask, flags
                8 => link with { TransmitErrors = attributes.Half(0), ReceiveErrors = attributes.Half(2) }, // IFLA_CAN_BERR_COUNTER
                9 => link with { DataBitRate = Rate(attributes.Number(0)) }, // IFLA_CAN_DATA_BITTIMING
                17 => Supported(link, attributes.Value), // IFLA_CAN_CTRLMODE_EXT
                _ => link,
            };
        }

        return link;
    }

    // CAN_CTRLMODE_LISTENONLY.
    private static KernelInterface Mode(KernelInterface link, uint? flags) => link with { IsListenOnly = flags is { } known ? (known & LinkRequest.ListenOnly) != 0 : null };

    private static KernelInterface Supported(KernelInterface link, ReadOnlySpan<byte> value)
    {
        var attributes = new LinkAttributes(value);
        while (attributes.Next())
        {
            // IFLA_CAN_CTRLMODE_SUPPORTED
            if (attributes.Type == 1 && attributes.Number(0) is { } supported)
            {
                link = link with { CanListenOnly = (supported & LinkRequest.ListenOnly) != 0 };
            }
        }

        return link;
    }

    private static long? Rate(uint? rate) => rate is > 0 and var known ? known : null;

    // enum can_state.
    private static ControllerState? StateOf(uint? state) => state switch
    {
        0 => ControllerState.ErrorActive,
        1 => ControllerState.ErrorWarning,
        2 => ControllerState.ErrorPassive,
        3 => ControllerState.BusOff,

        // 4 and 5 are "stopped" and "sleeping"; some drivers say so for ever, so whether the interface is on tells better.
        _ => null,
    };
}
