using BusScope.Frames;
using BusScope.Health;

namespace BusScope.Reports.Pages.Plots;

/// <summary>The load of a bus over time; where its bit rate is not known, the frames a second.</summary>
internal static class LoadPlot
{
    private const double Percent = 100;
    private const double Headroom = 1.15;
    private const int MostSteps = 160;
    private const int FewestSteps = 8;

    /// <summary>The plot, or null where there is nothing to draw.</summary>
    public static DrawnPlot? Of(BusHealth bus, HealthReport report)
    {
        if (report is not { First: { } first, Now: { } now } || now <= first)
        {
            return null;
        }

        var isLoad = bus.History is not null;
        var steps = isLoad ? Loads(bus) : Rates(bus, report);
        if (steps.Count == 0)
        {
            return null;
        }

        var paper = new PlotPaper();
        var line = new List<(double X, double Y)>();
        foreach (var (from, until, height) in steps)
        {
            line.Add(((from - first).Seconds, height));
            line.Add(((until - first).Seconds, height));
        }

        paper.Line(line, PlotPaper.Measured);
        var top = Headroom * steps.Max(step => step.Height);
        paper.Plot.Axes.SetLimits(0, (now - first).Seconds, 0, isLoad ? Math.Min(Percent, top) : top);
        var caption = isLoad ? $"Load of bus {bus.Name}, stuff bits counted" : $"Frames a second on bus {bus.Name}, whose bit rate is not known";
        return new DrawnPlot(paper.ToSvg(caption, isLoad ? "load, %" : "frames a second"), caption);
    }

    private static List<(FrameTime From, FrameTime Until, double Height)> Loads(BusHealth bus)
    {
        var history = bus.History!;
        return Steps(Enumerable.Range(0, history.Bins.Count).Select(i => (history.StartOf(i).Nanoseconds, Percent * history.Bins[i].Busy)), history.Width.Nanoseconds);
    }

    // Without a bit rate no frame was measured: the frames of all identifiers of the bus are counted.
    private static List<(FrameTime From, FrameTime Until, double Height)> Rates(BusHealth bus, HealthReport report)
    {
        var histories = report.Messages.Where(message => message.Bus == bus.Name).Select(message => message.History).OfType<Health.History.TimeBins<Health.History.GapBin>>().ToList();
        if (histories.Count == 0)
        {
            return [];
        }

        var frames = histories.SelectMany(history => history.Bins.Select((bin, i) => (history.StartOf(i).Nanoseconds, (double)bin.Frames)));
        return Steps(frames, histories.Max(history => history.Width.Nanoseconds));
    }

    // Neighbours are joined until they are few enough to be read; those at both ends, which are not whole, are left out.
    private static List<(FrameTime From, FrameTime Until, double Height)> Steps(IEnumerable<(long At, double Amount)> bins, long width)
    {
        var amounts = bins.ToList();
        var (from, until) = (amounts.Min(bin => bin.At), amounts.Max(bin => bin.At));
        while ((until - from) / width > MostSteps)
        {
            width *= 2;
        }

        var sums = new SortedDictionary<long, double>();
        foreach (var (at, amount) in amounts)
        {
            var step = (long)Math.Floor(at / (decimal)width);
            sums[step] = sums.GetValueOrDefault(step) + amount;
        }

        var ends = sums.Count > FewestSteps ? 1 : 0;
        return
        [
            .. sums.Skip(ends).SkipLast(ends).Select(sum =>
                (new FrameTime(sum.Key * width), new FrameTime((sum.Key + 1) * width), sum.Value / new FrameSpan(width).Seconds)),
        ];
    }
}
