using System.Globalization;
using BusScope.Frames;
using BusScope.Transport.Adapters;

namespace BusScope.Transport.Kernel;

/// <summary>What is wrong with a CAN interface and what to type about it, with the system's own tool for interfaces (ip-link(8)).</summary>
internal static class KernelAdvice
{
    /// <summary>The bit rate in a command when nobody said one.</summary>
    public const string UnknownBitRate = "BITRATE";

    /// <summary>What a person should know of an interface.</summary>
    /// <param name="link">The interface.</param>
    /// <param name="driver">The driver's name, or null.</param>
    /// <param name="bitRate">Bits per second that the person or the definitions named, or null.</param>
    public static Adapter Of(KernelInterface link, string? driver, long? bitRate)
    {
        var adapter = new Adapter(link.Name, KindOf(link, driver))
        {
            IsReady = link.IsUp,
            BitRate = link.BitRate,
            DataBitRate = link.DataBitRate,
            IsListenOnly = link.IsListenOnly,
            State = StateOf(link),
        };
        var rate = link.BitRate ?? bitRate;
        return !link.IsController
            ? link.IsUp ? adapter : adapter with { Notes = ["it is switched off"], Commands = [SwitchOn(link)] }
            : adapter with
            {
                Notes = [.. Notes(link)],
                Commands = link is { IsUp: true, IsListenOnly: not false, State: not ControllerState.BusOff } ? [] : Commands(link, rate),
            };
    }

    /// <summary>The commands that set bit rate and listen-only mode and switch the interface on.</summary>
    public static IReadOnlyList<string> Commands(KernelInterface link, long? bitRate)
    {
        var rate = bitRate?.ToString(CultureInfo.InvariantCulture) ?? UnknownBitRate;
        var data = link.DataBitRate is { } fast ? string.Create(CultureInfo.InvariantCulture, $" dbitrate {fast} fd on") : "";
        var setUp = $"ip link set {link.Name} type can bitrate {rate}{data} listen-only on";
        return link.IsUp ? [$"ip link set {link.Name} down", setUp, SwitchOn(link)] : [setUp, SwitchOn(link)];
    }

    private static string SwitchOn(KernelInterface link) => $"ip link set {link.Name} up";

    private static string KindOf(KernelInterface link, string? driver) => link.Kind switch
    {
        "can" => driver is null ? "CAN controller" : $"CAN controller, driver {driver}",
        "vcan" or "vxcan" => "virtual bus of this machine",
        "" => "CAN interface",
        var other => $"CAN interface, {other}",
    };

    private static string StateOf(KernelInterface link) => !link.IsUp ? "down" : link.State switch
    {
        ControllerState.ErrorActive => "up, error active",
        ControllerState.ErrorWarning => "up, error warning",
        ControllerState.ErrorPassive => "up, error passive",
        ControllerState.BusOff => "bus off",
        _ => "up",
    };

    private static IEnumerable<string> Notes(KernelInterface link)
    {
        if (!link.IsUp)
        {
            yield return "it is switched off";
        }

        if (link.BitRate is null)
        {
            yield return "no bit rate is set; a wrong one makes error frames on the bus unless the controller only listens";
        }

        if (link is { IsUp: true, IsListenOnly: false })
        {
            yield return "it is NOT in listen-only mode: the controller acknowledges frames and can disturb the bus";
        }

        if (link.CanListenOnly == false)
        {
            yield return "its driver knows no listen-only mode";
        }

        switch (link.State)
        {
            case ControllerState.BusOff when link.IsUp:
                yield return "bus off: the controller has withdrawn after too many errors; look for the wrong bit rate, swapped wires, a missing termination";
                break;
            case ControllerState.ErrorPassive when link.IsUp:
                yield return "error passive: most frames are seen as faulty; the bit rate may be wrong";
                break;
            default:
                break;
        }
    }
}
