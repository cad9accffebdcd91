using System.Globalization;
using System.Text;
using BusScope.Frames;
using BusScope.Health;
using BusScope.Health.History;

namespace BusScope.Reports.Pages.Plots;

/// <summary>
/// The line that shows when a message was there, as an SVG of our own that is squeezed to any width: no library draws it, and it
/// must stay a few hundred bytes for each of hundreds of messages.
/// </summary>
internal sealed class PresenceStrip(FrameTime first, FrameTime now)
{
    private const int Width = 1000;

    // Where nothing is defined, a message counts as there while frames come within so many of its usual periods.
    private const double UsualPeriods = 4;
    private const double LargestSpread = 3;

    private readonly double scale = Width / (double)(now - first).Nanoseconds;

    /// <summary>A small piece of line for the legend.</summary>
    public static string Sample(string kind) =>
        $"<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"sample\" viewBox=\"0 0 24 10\" aria-hidden=\"true\"><path class=\"{kind}\" d=\"M0 1h24v8h-24z\"/></svg>";

    /// <summary>The line of a message.</summary>
    /// <param name="message">Which.</param>
    /// <param name="bus">Its bus, of which nothing is known outside its own recording; null where the report has none of its name.</param>
    public string Of(MessageHealth message, BusHealth? bus)
    {
        var there = Stretches(message);
        var svg = new StringBuilder($"<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"strip\" viewBox=\"0 0 {Width} 10\" preserveAspectRatio=\"none\" role=\"img\" aria-label=\"{Markup.Encoded(Described(message, there))}\">");
        Path(svg, "off", Absences(message, bus, there));
        Path(svg, message.Definition is null ? "other" : "on", there);
        return svg.Append("</svg>").ToString();
    }

    private static string Described(MessageHealth message, List<(FrameTime From, FrameTime Until)> there) => there.Count switch
    {
        0 => $"{message.Name()} never came",
        1 => $"{message.Name()} came without a break",
        _ => string.Create(CultureInfo.InvariantCulture, $"{message.Name()} came in {there.Count} stretches"),
    };

    // Bins with frames that lie close enough together are one stretch.
    private static List<(FrameTime From, FrameTime Until)> Stretches(MessageHealth message)
    {
        var stretches = new List<(FrameTime From, FrameTime Until)>();
        if (message.History is not { } history)
        {
            return stretches;
        }

        var tolerance = Tolerance(message, history);
        for (var i = 0; i < history.Bins.Count; i++)
        {
            if (history.Bins[i].Frames == 0)
            {
                continue;
            }

            var (from, until) = (history.StartOf(i), history.StartOf(i + 1));
            if (stretches is [.., var before] && from - before.Until <= tolerance)
            {
                stretches[^1] = (before.From, until);
            }
            else
            {
                stretches.Add((from, until));
            }
        }

        return stretches;
    }

    private static FrameSpan Tolerance(MessageHealth message, TimeBins<GapBin> history)
    {
        var isPeriodic = message.Period is { Median: { } usual, P95: { } high } && high.Nanoseconds <= LargestSpread * usual.Nanoseconds;
        var own = message.Definition?.Timing.StaleAfter ?? (isPeriodic ? message.Period.Median!.Value * UsualPeriods : FrameSpan.Zero);

        // A gap is known to the bin only: half a bin at each end.
        return own > history.Width ? own - history.Width : FrameSpan.Zero;
    }

    // Under a condition only the time in which it held counts.
    private List<(FrameTime From, FrameTime Until)> Absences(MessageHealth message, BusHealth? bus, List<(FrameTime From, FrameTime Until)> there)
    {
        var absences = new List<(FrameTime From, FrameTime Until)>();
        if (message is { State: not null, Definition: { Timing.StaleAfter: { } stale } definition })
        {
            foreach (var (from, until) in definition.While is null ? [new HeldTime(first, now)] : message.Held ?? [])
            {
                AddAbsences(absences, there, stale, bus?.RecordedFrom is { } begin && begin > from ? begin : from, bus?.RecordedUntil is { } end && end < until ? end : until);
            }
        }

        return absences;
    }

    private static void AddAbsences(List<(FrameTime From, FrameTime Until)> absences, List<(FrameTime From, FrameTime Until)> there, FrameSpan stale, FrameTime from, FrameTime until)
    {
        var grace = stale > FrameSpan.FromSeconds(1) ? stale : FrameSpan.FromSeconds(1);
        var (at, allowed) = (from, grace);
        foreach (var stretch in there.Where(stretch => stretch.Until > from && stretch.From < until))
        {
            if (stretch.From - at > allowed)
            {
                absences.Add((at, stretch.From));
            }

            (at, allowed) = (stretch.Until, FrameSpan.Zero);
        }

        if (until - at > (allowed == FrameSpan.Zero ? stale : allowed))
        {
            absences.Add((at, until));
        }
    }

    private void Path(StringBuilder svg, string kind, List<(FrameTime From, FrameTime Until)> stretches)
    {
        if (stretches.Count == 0)
        {
            return;
        }

        svg.Append($"<path class=\"{kind}\" d=\"");
        foreach (var (from, until) in stretches)
        {
            var left = Math.Clamp((from - first).Nanoseconds * scale, 0, Width);
            var right = Math.Clamp((until - first).Nanoseconds * scale, 0, Width);
            svg.Append(CultureInfo.InvariantCulture, $"M{left:0.#} 1H{Math.Max(right, left + 1):0.#}V9H{left:0.#}z");
        }

        svg.Append("\"/>");
    }
}
