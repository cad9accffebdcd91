using BusScope.Frames;
using BusScope.Health;

namespace BusScope.Terminal.Screens;

/// <summary>What an adapter says about its controller, by word and mark.</summary>
internal static class ControllerWords
{
    /// <summary>A state in words (ISO 11898-1, fault confinement).</summary>
    public static string Of(ControllerState state) => state switch
    {
        ControllerState.ErrorActive => "error active",
        ControllerState.ErrorWarning => "WARNING LEVEL",
        ControllerState.ErrorPassive => "ERROR PASSIVE",
        ControllerState.BusOff => "BUS-OFF",
        ControllerState.Down => "SWITCHED OFF",
        ControllerState.Gone => "UNPLUGGED",
        _ => "state not told",
    };

    /// <summary>The weight of a state, as that of a message, for its mark and its ink.</summary>
    public static MessageState? Weight(ControllerState state) => state switch
    {
        ControllerState.ErrorActive => MessageState.Fresh,
        ControllerState.ErrorWarning => MessageState.Late,
        ControllerState.ErrorPassive => MessageState.Stale,
        ControllerState.BusOff or ControllerState.Down or ControllerState.Gone => MessageState.Missing,
        _ => null,
    };

    /// <summary>Whether no frame can come while it stands so.</summary>
    public static bool IsAway(ControllerState state) => state is ControllerState.BusOff or ControllerState.Down or ControllerState.Gone;
}
