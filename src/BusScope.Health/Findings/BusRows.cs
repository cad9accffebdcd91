using BusScope.Frames;
using BusScope.Health.Tracking;

namespace BusScope.Health.Findings;

/// <summary>The buses of a report.</summary>
internal sealed class BusRows(SessionTrack session, FrameTime now, bool isFinal)
{
    /// <summary>In the order of the source, then those that only the definitions know.</summary>
    public IReadOnlyList<BusHealth> Rows() =>
        [.. session.Buses.Select(RowOf), .. session.Places.AbsentBuses().Select(name => new BusHealth(name) { IsSilent = session.Start.IsKnown && now - session.Start > BusTrack.ShortestSilence })];

    private BusHealth RowOf(BusTrack bus)
    {
        var isSilent = session.IsSilent(bus, now);
        FrameSpan? silence = bus.Silences.Count > 0 ? bus.Silences.Longest : null;
        var since = bus.Latest.IsKnown ? bus.Latest : session.StartOf(bus);
        if (isSilent && (silence is null || bus.Recorded(now) - since > silence))
        {
            silence = bus.Recorded(now) - since;
        }

        return new BusHealth(bus.Bus.Name)
        {
            Frames = bus.Frames,
            ErrorFrames = bus.ErrorFrames,
            RemoteFrames = bus.RemoteFrames,
            OverflowFrames = bus.OverflowFrames,
            ClockRestarts = bus.ClockRestarts,
            Identifiers = bus.Tracks.Count,
            IsSilent = isSilent,
            RecordedFrom = bus.RecordedFrom,
            RecordedUntil = bus.RecordedUntil,
            Last = bus.Latest.IsKnown ? bus.Latest : null,
            Silences = bus.Silences.Count + (isSilent ? 1 : 0),
            LongestSilence = silence,
            LoadMean = bus.Load?.Mean,
            LoadPeak = bus.Load?.Peak,
            LoadNow = bus.Load?.Latest,
            History = isFinal ? bus.History?.Recorded() : null,
        };
    }
}
