using BusScope.Frames;
using BusScope.Health;
using BusScope.Health.History;

namespace BusScope.Reports.Pages.Plots;

/// <summary>
/// How old a message was over time: the gap before each frame, which is the greatest age that its receiver saw, against what is
/// expected. A silence is drawn as the age grew.
/// </summary>
internal sealed class GapPlot
{
    // A gap that spans so many bins is drawn as a slope, shorter ones as a line from gap to gap.
    private const int BinsOfSlope = 4;
    private const double Headroom = 1.12;
    private const double SecondsFrom = 1.5;
    private const double ShortestGrace = 1;

    // A limit that nearly lies on the axis only hides what is there.
    private const double SmallestBound = 0.04;

    private const double ShareOfName = 0.25;

    private readonly PlotPaper paper = new();
    private readonly MessageHealth message;
    private readonly TimeBins<GapBin> history;
    private readonly FrameTime first;
    private readonly FrameTime now;

    // When it was expected first, and the time since its last frame in which it still was.
    private readonly FrameTime begin;
    private readonly HeldTime ending;
    private readonly double stale;
    private readonly double scale;
    private readonly double top;

    private GapPlot(MessageHealth message, BusHealth? bus, TimeBins<GapBin> history, FrameTime first, FrameTime now)
    {
        (this.message, this.history, this.first, this.now) = (message, history, first, now);
        begin = bus?.RecordedFrom is { } from && from > first ? from : first;
        ending = Ending(message, bus?.RecordedUntil is { } until && until < now ? until : now);
        var timing = message.Definition?.Timing;
        stale = timing?.StaleAfter?.Seconds ?? double.PositiveInfinity;
        var highest = Math.Max(history.Bins.Max(bin => bin.Gaps > 0 ? bin.Longest : 0), AgeAtEnd > stale ? AgeAtEnd : 0);
        highest = Math.Max(highest, LateStart is { } start ? (start - begin).Seconds : 0);
        highest = Math.Max(highest, timing?.Every?.Seconds ?? 0);
        top = Headroom * (double.IsFinite(stale) && stale < 4 * highest ? Math.Max(highest, stale) : highest);
        scale = top < SecondsFrom ? 1000 : 1;
    }

    private double AgeAtEnd => (ending.Until - ending.From).Seconds;

    // Awaited from the beginning, and first seen after the grace time (docs/health.md). Under a condition it may not have been awaited.
    private FrameTime? LateStart =>
        message is { Definition: { While: null, Timing.StaleAfter: not null }, First: { } start } && (start - begin).Seconds > Math.Max(stale, ShortestGrace) ? start : null;

    /// <summary>The plot, or null where there is nothing to draw.</summary>
    public static DrawnPlot? Of(MessageHealth message, HealthReport report) =>
        message.History is { } history && report is { First: { } first, Now: { } now } && now > first && history.Bins.Any(bin => bin.Gaps > 0)
            ? new GapPlot(message, report.Buses.FirstOrDefault(bus => bus.Name == message.Bus), history, first, now).Draw()
            : null;

    // So much of the time lies under a name at the left.
    private double HighestAtLeft =>
        Enumerable.Range(0, history.Bins.Count).Where(bin => history.Bins[bin].Gaps > 0 && history.StartOf(bin) - first < (now - first) * ShareOfName).Select(bin => history.Bins[bin].Longest).DefaultIfEmpty(0).Max();

    // Beyond the end of its condition, or of its recording, nobody waited for it.
    private static HeldTime Ending(MessageHealth message, FrameTime end)
    {
        if (message.Last is not { } last || last >= end)
        {
            return new HeldTime(end, end);
        }

        if (message.Definition?.While is null)
        {
            return new HeldTime(last, end);
        }

        return message.Held is [.., var held] && held.Until > last
            ? new HeldTime(held.From > last ? held.From : last, held.Until < end ? held.Until : end)
            : new HeldTime(end, end);
    }

    private DrawnPlot Draw()
    {
        if (LateStart is { } start)
        {
            Slope(begin, start);
        }

        if (message.Senders > 1)
        {
            // Short and long gaps in turn would fill the plot from one to the other: their bounds show both.
            DrawBound(bin => bin.Shortest);
            DrawBound(bin => bin.Longest);
        }
        else
        {
            DrawGaps();
        }

        if (AgeAtEnd > stale)
        {
            Slope(ending.From, ending.Until);
        }

        var timing = message.Definition?.Timing;
        if (timing?.Every is { } every && every.Seconds > SmallestBound * top)
        {
            paper.Bound(every.Seconds * scale, $"expected every {every}", toTheLeft: true, clear: HighestAtLeft * scale);
        }

        if (stale <= top)
        {
            paper.Bound(stale * scale, $"stale after {timing!.StaleAfter}");
        }

        paper.Plot.Axes.SetLimits(0, (now - first).Seconds, 0, top * scale);
        var caption = $"{message.Name()}: time since the frame before, for every frame";
        return new DrawnPlot(paper.ToSvg(caption, scale == 1 ? "gap, s" : "gap, ms"), caption);
    }

    // In each bin the first, the shortest, the longest and the last gap: no line through all frames looks different at this size.
    private void DrawGaps()
    {
        var line = new List<(double X, double Y)>();
        for (var i = 0; i < history.Bins.Count; i++)
        {
            var bin = history.Bins[i];
            if (bin.Gaps == 0)
            {
                continue;
            }

            var start = history.StartOf(i);
            if (bin.Longest > BinsOfSlope * history.Width.Seconds)
            {
                End(line);
                var end = start + (history.Width * 0.5);
                Slope(end - FrameSpan.FromSeconds(bin.Longest), end);
                continue;
            }

            Add(line, start, 0.125, bin.First);
            if (bin.Gaps > 1)
            {
                Add(line, start, 0.375, bin.Shortest);
                Add(line, start, 0.625, bin.Longest);
                Add(line, start, 0.875, bin.Last);
            }
        }

        End(line);
    }

    private void DrawBound(Func<GapBin, double> bound)
    {
        var line = new List<(double X, double Y)>();
        for (var i = 0; i < history.Bins.Count; i++)
        {
            if (history.Bins[i].Gaps > 0)
            {
                Add(line, history.StartOf(i), 0.5, bound(history.Bins[i]));
            }
        }

        End(line);
    }

    private void Add(List<(double X, double Y)> line, FrameTime start, double share, double gap) =>
        line.Add(((start + (history.Width * share) - first).Seconds, gap * scale));

    private void End(List<(double X, double Y)> line)
    {
        if (line.Count > 1)
        {
            paper.Line(line, PlotPaper.Measured);
        }

        line.Clear();
    }

    private void Slope(FrameTime from, FrameTime until)
    {
        var age = (until - from).Seconds;
        var end = (until - first).Seconds;
        paper.Line([((from - first).Seconds, 0), (end, age * scale), (end, 0)], age > stale ? PlotPaper.Wrong : PlotPaper.Measured);
    }
}
