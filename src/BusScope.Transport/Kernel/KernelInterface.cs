using BusScope.Frames;

namespace BusScope.Transport.Kernel;

/// <summary>A network interface as the kernel describes it (rtnetlink(7); include/uapi/linux/can/netlink.h).</summary>
/// <param name="Index">Its number; a new one each time it is plugged in.</param>
/// <param name="Name">Its name: <c>can0</c>.</param>
public sealed record KernelInterface(int Index, string Name)
{
    /// <summary>Whether it is a CAN interface at all.</summary>
    public bool IsCan { get; init; }

    /// <summary>Whether it is gone: the message tells its end.</summary>
    public bool IsGone { get; init; }

    /// <summary>Whether it is switched on (IFF_UP).</summary>
    public bool IsUp { get; init; }

    /// <summary><c>can</c> for a controller, <c>vcan</c> or <c>vxcan</c> for one that exists in the kernel only; empty where not told.</summary>
    public string Kind { get; init; } = "";

    /// <summary>Bits per second; null where none is set.</summary>
    public long? BitRate { get; init; }

    /// <summary>Bits per second of the data phase; null where none is set.</summary>
    public long? DataBitRate { get; init; }

    /// <summary>The controller's state; null for one that exists in the kernel only.</summary>
    public ControllerState? State { get; init; }

    /// <summary>Whether the controller only listens; null where it does not tell.</summary>
    public bool? IsListenOnly { get; init; }

    /// <summary>Whether the controller can be told to listen only; null where it does not tell.</summary>
    public bool? CanListenOnly { get; init; }

    /// <summary>The transmit error counter, or null.</summary>
    public int? TransmitErrors { get; init; }

    /// <summary>The receive error counter, or null.</summary>
    public int? ReceiveErrors { get; init; }

    /// <summary>How often the controller went bus-off since it was made.</summary>
    public long TimesBusOff { get; init; }

    /// <summary>Frames that controller or driver lost since it was made.</summary>
    public long Overruns { get; init; }

    /// <summary>Whether it is a controller on a bus, and not one that exists in the kernel only.</summary>
    public bool IsController => Kind == "can";

    /// <summary>Each interface as it was told last: one that changes while the kernel lists them comes as an answer and as news.</summary>
    /// <param name="told">What was told, in its order.</param>
    /// <returns>Those that are not gone, each once, in the order in which they were met.</returns>
    public static IReadOnlyList<KernelInterface> Latest(IEnumerable<KernelInterface> told) =>
        [.. told.GroupBy(link => link.Index).Select(group => group.Last()).Where(link => !link.IsGone)];
}
