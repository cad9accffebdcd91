using BusScope.Frames;
using BusScope.Health;

namespace BusScope.Session;

/// <summary>What is done once round with what a source gave, the same for a check and for the screen.</summary>
internal static class LiveTurn
{
    /// <summary>Takes the batch in and lets live time go on.</summary>
    /// <param name="source">The source.</param>
    /// <param name="monitor">What takes the frames in.</param>
    /// <param name="clock">The time of a live source; null for a recording, whose frames bring it.</param>
    /// <param name="batch">What was read.</param>
    /// <returns>Whether every bus could be seen.</returns>
    public static bool Accept(IFrameSource source, HealthMonitor monitor, LiveClock? clock, FrameBatch batch)
    {
        if (clock?.LeaptForward() == true)
        {
            var until = batch.Count > 0 ? batch.Frames[0].Time : clock.Now ?? FrameTime.Never;
            for (var bus = 0; bus < source.Buses.Count; bus++)
            {
                monitor.Unseen(bus, until);
            }
        }

        if (batch.Count > 0)
        {
            monitor.Accept(batch, source.Buses);
        }

        clock?.Saw(batch);
        if (clock?.Now is not { } now)
        {
            return true;
        }

        monitor.Advance(now);
        return !BlindBuses.Tell(source, monitor, now);
    }

    /// <summary>Tells the monitor what the adapters, or the recorder, say that they lost.</summary>
    public static void TellLost(IFrameSource source, HealthMonitor monitor)
    {
        for (var bus = 0; bus < source.Buses.Count; bus++)
        {
            monitor.TellLost(bus, source.StatusOf(bus)?.LostFrames ?? 0);
        }
    }
}
