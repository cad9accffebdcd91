using BusScope.Frames;
using BusScope.Health;

namespace BusScope.Session;

/// <summary>Tells the monitor of buses whose adapter is switched off or unplugged: what does not come from there is not the car's fault.</summary>
internal static class BlindBuses
{
    /// <summary>Tells it, at this moment.</summary>
    public static void Tell(IFrameSource source, HealthMonitor monitor, FrameTime now)
    {
        for (var bus = 0; bus < source.Buses.Count; bus++)
        {
            if (source.StatusOf(bus) is { State: ControllerState.Down or ControllerState.Gone })
            {
                monitor.Unseen(bus, now);
            }
        }
    }
}
