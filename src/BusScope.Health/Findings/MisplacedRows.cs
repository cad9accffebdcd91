using BusScope.Frames;
using BusScope.Health.Tracking;

namespace BusScope.Health.Findings;

/// <summary>
/// Rows that do not stand where they should, as a recorder with two buffers writes them. A step back that is shorter than the shortest period of the bus moves no
/// frame to behind the next one of its message.
/// </summary>
internal static class MisplacedRows
{
    /// <summary>The error, or null.</summary>
    public static StampError? On(BusTrack bus)
    {
        if (bus.StepsBack == 0)
        {
            return null;
        }

        var periods = bus.Tracks.Select(track => track.Defined?.Definition.Timing.Every).OfType<FrameSpan>().ToList();
        return periods.Count == 0 || bus.LargestStepBack <= periods.Min() ? null : new StampError(FindingCodes.RowsOutOfOrder, bus.LargestStepBack, bus.StepsBack, periods.Count);
    }
}
