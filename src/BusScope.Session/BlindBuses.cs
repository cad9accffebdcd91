using BusScope.Frames;
using BusScope.Health;

namespace BusScope.Session;

/// <summary>
/// Buses that cannot be seen: their adapter is switched off, unplugged, or has withdrawn from the bus. What does not come from there is
/// not the car's fault.
/// </summary>
internal static class BlindBuses
{
    /// <summary>Tells the monitor of them, at this moment.</summary>
    /// <returns>Whether there is one.</returns>
    public static bool Tell(IFrameSource source, HealthMonitor monitor, FrameTime now)
    {
        var isBlind = false;
        for (var bus = 0; bus < source.Buses.Count; bus++)
        {
            if (source.StateOf(bus) is ControllerState.Down or ControllerState.Gone or ControllerState.BusOff)
            {
                monitor.Unseen(bus, now);
                isBlind = true;
            }
        }

        return isBlind;
    }
}
