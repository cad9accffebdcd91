using BusScope.Frames;
using BusScope.Signals.Plans;

namespace BusScope.Session.Readings;

/// <summary>What one signal said so far. One thread at a time.</summary>
/// <param name="coarse">Its range in each second, where that is kept.</param>
internal sealed class FollowedSignal(TraceRing? coarse)
{
    private RateWatch rate;
    private Sample latest;
    private FrameTime at;
    private double smallest = double.PositiveInfinity;
    private double largest = double.NegativeInfinity;

    /// <summary>Its range in each fiftieth of a second, while somebody looks at it; else null.</summary>
    public TraceRing? Fine { get; set; }

    /// <summary>Whether a trace of it needs <see cref="Fine"/>.</summary>
    public bool NeedsFine(ReadingRequest request) => coarse is not null && request.Columns > 0 && Column(request) < TraceRing.CoarseBin && request.Window <= TraceRing.FineReach;

    /// <summary>Takes in one reading, in the order in which they came.</summary>
    /// <param name="sample">The reading; not an absent one.</param>
    /// <param name="time">When.</param>
    /// <param name="largestRate">The fastest plausible change, or null.</param>
    public void Take(in Sample sample, FrameTime time, double? largestRate)
    {
        (latest, at) = (rate.Judge(sample, time, largestRate), time);
        if (IsSaid(latest))
        {
            Widen(new ValueRange(latest.Value, latest.Value), time);
            Fine?.Take(time, new TraceBin((float)latest.Value, (float)latest.Value));
        }
    }

    /// <summary>Takes in valid readings that came within one second, none of which has a place in <see cref="Fine"/> or a rate to be judged.</summary>
    /// <param name="range">Their range.</param>
    /// <param name="last">The last of them.</param>
    /// <param name="time">When that came.</param>
    public void Take(ValueRange range, in Sample last, FrameTime time)
    {
        (latest, at) = (last, time);
        Widen(range, time);
    }

    /// <summary>Whether a reading counts among the values. What is out of range was said all the same, and is what somebody looks for; a spike beyond belief is not.</summary>
    public static bool IsSaid(in Sample sample) => sample.Quality is SampleQuality.Ok or SampleQuality.OutOfRange && double.IsFinite(sample.Value);

    /// <summary>What it said, as it was asked for.</summary>
    /// <param name="request">The request.</param>
    /// <param name="now">Where time stands, or null where only the frames tell it.</param>
    public SignalReading Reading(ReadingRequest request, FrameTime? now)
    {
        var until = now ?? at;
        var (before, end, ahead) = (TraceBin.None, until, 0);
        TraceBin[] columns = [];
        if (request.Columns > 0 && (NeedsFine(request) ? Fine : coarse) is { } ring)
        {
            columns = new TraceBin[Math.Min(request.Columns, ReadingRequest.MostColumns)];
            (end, ahead) = ring.Fill(until, Column(request), columns, Math.Clamp(request.Step, 1, columns.Length), out before);
        }

        var hasValue = smallest <= largest;
        return new SignalReading(request, latest, at, hasValue ? smallest : double.NaN, hasValue ? largest : double.NaN, columns, before) { Ahead = ahead, End = end };
    }

    private static FrameSpan Column(ReadingRequest request) =>
        new(Math.Max(1, request.Window.Nanoseconds / Math.Clamp(request.Columns, 1, ReadingRequest.MostColumns)));

    private void Widen(ValueRange range, FrameTime time)
    {
        smallest = range.Smallest < smallest ? range.Smallest : smallest;
        largest = range.Largest > largest ? range.Largest : largest;
        coarse?.Take(time, new TraceBin((float)range.Smallest, (float)range.Largest));
    }
}
