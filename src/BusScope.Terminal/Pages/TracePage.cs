using BusScope.Frames;
using BusScope.Session.Readings;
using BusScope.Signals.Plans;
using BusScope.Terminal.Drawing;
using BusScope.Terminal.Screens;

namespace BusScope.Terminal.Pages;

/// <summary>Up to four signals over time, one below the other on one time axis, each in its own scale, with a cursor.</summary>
internal sealed class TracePage(Desk desk) : ScreenPage(desk)
{
    // The scale to the left of the curves.
    private const int ScaleWidth = 10;

    private const int LongestLabel = 10;

    // To draw the whole anew with each picture costs ten times as much as to draw what came, and an eye follows what stands still.
    private const int StepsAWindow = 8;

    private readonly List<ReadingRequest> readings = [];
    private readonly List<SignalLine> lines = [];
    private int columns;

    /// <inheritdoc/>
    public override Page Kind => Page.Trace;

    /// <inheritdoc/>
    public override IReadOnlyList<KeyHint> Hints { get; } =
    [
        new("Left Right", "cursor", 1), new("Esc", "no cursor", 4), new("x X", "less, more time", 2), new("i", "units", 3), new("v", "signals", 1), new("Space", "stop", 2, ForReplay: true),
        new("sS", "step", 4, ForReplay: true), new("T", "back", 1), new("?", "help", 0), new("q", "quit", 0),
    ];

    /// <inheritdoc/>
    public override bool HasFilter => false;

    /// <inheritdoc/>
    public override IReadOnlyList<ReadingRequest> Readings => readings;

    // Of a recording that is shorter, the whole of it.
    private FrameSpan Window => Recorded is { } recorded && recorded < Chosen ? recorded : Chosen;

    private FrameSpan Chosen => TraceWindows.All[Choice.TraceWindow];

    private FrameSpan? Recorded =>
        Model.Snapshot.Survey?.Whole is not { } whole ? null
        : whole.Last - whole.First is var length && length > TraceWindows.All[0] ? length
        : TraceWindows.All[0];

    /// <inheritdoc/>
    public override void Paint(Scene scene, Layout layout)
    {
        var area = layout.Body;
        readings.Clear();
        lines.Clear();
        foreach (var key in Choice.Traced)
        {
            if (Model.Signals.Find(key) is { } line)
            {
                lines.Add(line);
            }
        }

        if (lines.Count == 0)
        {
            Nothing(scene, area);
            return;
        }

        // Two columns of dots a cell; in plain letters one.
        var cells = Math.Max(8, area.Width - ScaleWidth - 1);
        columns = Math.Min(cells * (scene.Marks.IsAscii ? 1 : 2), ReadingRequest.MostColumns);
        PageRows = columns / 10;
        var axis = area.Below(area.Height - 1);
        var rest = area.First(area.Height - 1);
        for (var i = 0; i < lines.Count; i++)
        {
            var from = rest.Height * i / lines.Count;
            var lane = rest.Below(from).First((rest.Height * (i + 1) / lines.Count) - from);
            readings.Add(new ReadingRequest(lines[i].Key, Window, columns, Math.Max(1, columns / StepsAWindow)));
            Lane(scene, lane, lines[i], i);
        }

        Axis(scene, scene.Pen(axis, 0), cells, Model.Signals.ReadingOf(lines[0].Key) is { } first && first.Request == readings[0] ? first.End : null);
    }

    /// <inheritdoc/>
    public override void Move(int rows)
    {
    }

    /// <inheritdoc/>
    public override bool Do(KeyAction action)
    {
        switch (action)
        {
            case KeyAction.PartBefore: MoveCursor(1); return true;
            case KeyAction.NextPart: MoveCursor(-1); return true;
            case KeyAction.PageUp: MoveCursor(PageRows); return true;
            case KeyAction.PageDown: MoveCursor(-PageRows); return true;
            case KeyAction.First: MoveCursor(columns); return true;
            case KeyAction.Last: MoveCursor(-columns); return true;
            case KeyAction.Back when Choice.TraceCursor is not null: Choice.TraceCursor = null; return true;
            case KeyAction.LessTime: Shorten(); return true;
            case KeyAction.MoreTime when Recorded <= Chosen: Desk.Hands.Say("that is the whole recording", Ink.Note); return true;
            case KeyAction.MoreTime: Choice.TraceWindow = Math.Min(TraceWindows.All.Count - 1, Choice.TraceWindow + 1); return true;
            default: return false;
        }
    }

    // To the longest that is shorter than what is shown, which may be a recording shorter than what was chosen.
    private void Shorten()
    {
        var shown = Window;
        do
        {
            Choice.TraceWindow = Math.Max(0, Choice.TraceWindow - 1);
        }
        while (Choice.TraceWindow > 0 && Chosen >= shown);
    }

    private void MoveCursor(int back) =>
        Choice.TraceCursor = Math.Clamp((Choice.TraceCursor ?? (back > 0 ? -1 : columns)) + back, 0, Math.Max(0, columns - 1));

    private static void Nothing(Scene scene, Area area)
    {
        var pen = scene.Pen(area, 0);
        scene.Title(ref pen, "Trace", isHere: true, 0, 0, 0);
        var none = scene.Pen(area, 1);
        none.Write("  no signal is traced: ", Ink.Quiet);
        none.Write("v", Ink.Key);
        none.Write(" shows the signals, ", Ink.Quiet);
        none.Write("t", Ink.Key);
        none.Write(" puts the chosen one here, up to four", Ink.Quiet);
    }

    private void Lane(Scene scene, Area lane, SignalLine line, int index)
    {
        var reading = Model.Signals.ReadingOf(line.Key);
        reading = reading is not null && reading.Request == readings[index] ? reading : null;
        var form = Units.Form(line.Unit, Choice.IsUs);
        Head(scene, scene.Pen(lane, 0), line, reading, form);
        var plot = lane.Below(1);
        if (reading is null || plot.IsEmpty)
        {
            return;
        }

        var (low, high) = Scale(reading.Trace.Span, reading.Before);
        for (var row = 0; row < plot.Height; row++)
        {
            var pen = scene.Pen(plot, row);
            if (row == 0 || (row == plot.Height - 1 && plot.Height > 1))
            {
                pen.Value(row == 0 ? high : low, line.Decimals, form, Ink.Quiet, ScaleWidth - 1);
            }
        }

        var curve = plot with { Left = plot.Left + ScaleWidth, Width = Math.Max(0, plot.Width - ScaleWidth - 1) };
        CurvePainter.Paint(scene, curve, reading.Trace.Span[..^reading.Ahead], reading.Before, (low, high), Hold(line), Choice.TraceCursor is { } cursor ? cursor - reading.Ahead : null);
    }

    // EngineSpeed  1,725.0 rpm   780.0 to 6,120.0   at -2.40 s  1,700.0
    private void Head(Scene scene, Pen pen, SignalLine line, SignalReading? reading, UnitForm form)
    {
        pen.Put(scene.Marks.Rule, Ink.Quiet);
        pen.Put(' ');
        pen.Write(line.Name, Ink.Strong, Math.Max(12, pen.Room / 3));
        pen.Skip(1);
        if (reading is null)
        {
            pen.Write("not seen ", Ink.Quiet);
            pen.Rule();
            return;
        }

        var quality = reading.Latest.Quality == SampleQuality.Ok && Model.Signals.IsStale(line) ? SampleQuality.Stale : reading.Latest.Quality;
        pen.Value(reading.Latest.Value, line.Decimals, form, Values.InkOf(quality));
        pen.Put(' ');
        pen.Write(line.Plan?.NameOf(reading.Latest.Raw) ?? form.Unit, Ink.Quiet, 16);
        pen.Put(' ');
        if (quality != SampleQuality.Ok)
        {
            pen.Put(scene.Marks.Of(quality), Values.InkOf(quality));
            pen.Put(' ');
            pen.Write(Marks.Word(quality), Values.InkOf(quality));
            pen.Put(' ');
        }

        if (Choice.TraceCursor is { } cursor && cursor >= reading.Ahead && cursor < reading.Trace.Length)
        {
            var bin = CurvePainter.At(reading.Trace.Span, reading.Before, reading.Trace.Length - 1 - cursor, Hold(line));
            pen.Write("  at the cursor ", Ink.Note);
            pen.Value(bin.Smallest, line.Decimals, form, Ink.Strong);
            if (bin.Largest != bin.Smallest && bin.HasValue)
            {
                pen.Write(" to ", Ink.Note);
                pen.Value(bin.Largest, line.Decimals, form, Ink.Strong);
            }

            pen.Put(' ');
        }

        pen.Rule();
    }

    // last 10.0 s ┬ 0:32.000 ───────┬ 0:34.500 ─── under the cursor its time.
    private void Axis(Scene scene, Pen pen, int cells, FrameTime? end)
    {
        pen.Write(" last ", Ink.Quiet);
        pen.ShortSpan(Window, Ink.Strong);
        pen.To(ScaleWidth);
        var start = pen.Column;
        pen.Put(scene.Marks.Rule, Ink.Quiet, cells);
        if (end is not { } last)
        {
            return;
        }

        foreach (var share in (ReadOnlySpan<double>)[1, 0.75, 0.5, 0.25])
        {
            // Before the first frame there is no time to tell.
            if (last - (Window * share) is var at && at >= (Model.Health.First ?? at))
            {
                Label(scene, pen, start + (int)Math.Round((cells - 1) * (1 - share)), at, Ink.Quiet);
            }
        }

        if (Choice.TraceCursor is { } cursor)
        {
            var cell = (columns - 1 - cursor) * cells / Math.Max(1, columns);
            Label(scene, pen, Math.Min(start + cell, start + cells - LongestLabel - 1), last - (Window * ((cursor + 0.5) / columns)), Ink.Key);
        }
    }

    private void Label(Scene scene, Pen pen, int column, FrameTime at, Ink ink)
    {
        Span<char> text = stackalloc char[Figures.LongestClock];
        var length = Figures.Clock(Model.SinceStart(at), text, Window.Seconds < 60 ? 2 : 0);
        pen.Over(column, scene.Marks.Junction, ink);
        for (var i = 0; i < LongestLabel; i++)
        {
            pen.Over(column + 1 + i, i < length ? text[i] : scene.Marks.Rule, i < length ? ink : Ink.Quiet);
        }
    }

    // A value holds until its message is stale; without an expectation, for a second. Further back than single values are kept, each stands
    // for the stretch that it was kept for.
    private int Hold(SignalLine line)
    {
        var stale = line.Message?.Timing.StaleAfter ?? FrameSpan.FromSeconds(1);
        var held = Window > TraceRing.FineReach && stale < TraceRing.CoarseBin ? TraceRing.CoarseBin : stale;
        return columns == 0 ? 1 : (int)Math.Clamp(held.Seconds / Window.Seconds * columns, 1, columns);
    }

    private static (double Low, double High) Scale(ReadOnlySpan<TraceBin> trace, TraceBin before)
    {
        var (low, high) = SparklinePainter.Range(trace);
        if (double.IsNaN(low))
        {
            (low, high) = (before.Smallest, before.Largest);
        }

        // A value that stands still lies in the middle.
        var least = Math.Max(1e-6, Math.Abs(low) * 1e-6);
        return high - low > least ? (low, high) : (low - Math.Max(1, least), high + Math.Max(1, least));
    }
}
