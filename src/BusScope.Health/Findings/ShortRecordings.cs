using System.Globalization;
using BusScope.Frames;
using BusScope.Health.Tracking;

namespace BusScope.Health.Findings;

/// <summary>
/// Where several recordings are read as one, what those hold that begin later or end earlier than the others, and buses of one recording that are quiet at its
/// end for too short a time to be called silent: adapters seldom stop in the same moment. A bus of which nothing is recorded may have been silent, or nobody
/// listened: that is nobody's fault, but nobody vouches for it either.
/// </summary>
internal sealed class ShortRecordings
{
    private readonly SessionTrack session;
    private readonly FrameTime now;
    private readonly bool isFinal;
    private readonly HashSet<BusTrack> partial;

    /// <summary>Looks at the buses of a session.</summary>
    public ShortRecordings(SessionTrack session, FrameTime now, bool isFinal)
    {
        this.session = session;
        this.now = now;
        this.isFinal = isFinal;
        partial = [.. session.Buses.Where(bus => BeginsLate(bus) || EndsEarly(bus))];
    }

    /// <summary>Whether the recording of a bus is one of them.</summary>
    public bool Hold(BusTrack bus) => partial.Contains(bus);

    /// <summary>Whether a bus is quiet at the end of the whole, but not for as long as a silence.</summary>
    public bool IsQuietAtTheEnd(BusTrack bus) => isFinal && bus.Latest.IsKnown && session.IsSilent(bus, now) && bus.Recorded(now) - bus.Latest <= bus.SilenceTime;

    /// <summary>Says what they do not hold, once for the buses of each recording.</summary>
    public void Report(FindingList findings)
    {
        if (partial.Count == 0)
        {
            return;
        }

        var apart = session.Buses.Any(bus => bus.RecordedUntil < session.Buses.Max(other => other.RecordedFrom));
        if (apart)
        {
            var times = session.Buses.Select(bus => $"bus {bus.Bus.Name} from {findings.Moment(session.StartOf(bus))} to {findings.Moment(bus.Recorded(now))}");
            Add(findings, session.Buses, session.Start, now, $"the recordings do not overlap in time: {string.Join(", ", times)}. Their clocks differ, or they are of different drives. Each bus is judged by itself; record all at the same time, by one clock");
            return;
        }

        foreach (var recording in partial.GroupBy(bus => (bus.RecordedFrom, EndOf(bus))))
        {
            var buses = recording.ToList();
            var names = $"{(buses.Count == 1 ? "bus" : "buses")} {string.Join(", ", buses.Select(bus => bus.Bus.Name))}";
            var (from, until) = (session.StartOf(buses[0]), EndOf(buses[0]));
            var (late, early) = (buses.Exists(BeginsLate), buses.Exists(EndsEarly));
            var seconds = (long)(until - session.Earliest).Seconds;
            var what = (late ? $"begins {from - session.Start} after the first one" : "")
                + (late && early ? ", and " : "")
                + (early ? $"ends {now - until} before the last one, at {findings.Moment(until)}" : "");
            Add(
                findings,
                buses,
                late ? session.Start : until,
                early ? now : from,
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"the recording of {names} {what}: whether {(buses.Count == 1 ? "it was" : "they were")} silent meanwhile, or nobody recorded, it does not tell. Judged is what it holds; record all buses over the same time{(early && !late && seconds > 0 ? $", or check with --for {seconds}s" : "")}"));
        }
    }

    private void Add(FindingList findings, List<BusTrack> buses, FrameTime at, FrameTime until, string text) =>
        findings.Add(new Finding(FindingCodes.RecordingShort, FindingSeverity.Warning, text)
        {
            Bus = buses.Count == 1 ? buses[0].Bus.Name : null,
            At = at,
            Until = until,
            Count = buses.Count,
            Modules = NameList.Modules(session.Messages.Where(message => session.Places.TrackOf(message) is { } bus && buses.Contains(bus))),
        });

    // A shorter time than a silence is lost in the grace time of its messages.
    private bool BeginsLate(BusTrack bus) => session.Start.IsKnown && session.StartOf(bus) - session.Start > bus.SilenceTime;

    private bool EndsEarly(BusTrack bus) => IsQuietAtTheEnd(bus) || session.EndsEarly(bus, now);

    private FrameTime EndOf(BusTrack bus) => IsQuietAtTheEnd(bus) ? bus.Latest : bus.Recorded(now);
}
