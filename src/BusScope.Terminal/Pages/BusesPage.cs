using BusScope.Frames;
using BusScope.Health;
using BusScope.Terminal.Drawing;
using BusScope.Terminal.Screens;

namespace BusScope.Terminal.Pages;

/// <summary>The page of the buses: of each the load with its history, the rates, the silences, and what its controller says.</summary>
internal sealed class BusesPage(Desk desk) : ScreenPage(desk)
{
    // A title, the load, one row of history, the rates, the controller, and how it listens.
    private const int LeastRows = 6, MostRows = 12;

    /// <summary>Where the figures of a line stand below each other.</summary>
    public const int SecondColumn = 38, ThirdColumn = 58;

    /// <inheritdoc/>
    public override Page Kind => Page.Buses;

    /// <inheritdoc/>
    public override IReadOnlyList<KeyHint> Hints { get; } =
    [
        new("Up Dn", "line", 3), new("e", "events", 2), new("n", "mark", 4), new("a", "alarm", 4), new("p", "screen shot", 4), new("Space", "stop", 2, ForReplay: true),
        new("+-", "speed", 3, ForReplay: true), new("b", "back", 1), new("?", "help", 0), new("q", "quit", 0),
    ];

    /// <inheritdoc/>
    public override bool HasFilter => false;

    /// <inheritdoc/>
    public override void Move(int rows) => Choice.Scroll[3] = Math.Max(0, Choice.Scroll[3] + rows);

    /// <summary>Paints as many buses as fit, from the one that was scrolled to.</summary>
    public override void Paint(Scene scene, Layout layout)
    {
        PageRows = 1;
        var area = layout.Body;
        var buses = scene.Model.Buses;
        if (buses.Count == 0)
        {
            var none = scene.Pen(area, 0);
            none.Write(" no bus has spoken yet", Ink.Note);
            return;
        }

        var fit = Math.Max(1, area.Height / LeastRows);
        var first = scene.Choice.Scroll[3] = Math.Clamp(scene.Choice.Scroll[3], 0, Math.Max(0, buses.Count - fit));
        var shown = Math.Min(fit, buses.Count - first);
        var rows = Math.Clamp(area.Height / shown, LeastRows, MostRows);
        for (var i = 0; i < shown; i++)
        {
            One(scene, area.Below(i * rows).First(rows), buses[first + i]);
        }

        var below = area.Below(shown * rows);
        if (buses.Count > fit && !below.IsEmpty)
        {
            var more = scene.Pen(below, 0);
            more.Write(" buses ", Ink.Quiet);
            more.Figure(first + 1, "0", Ink.Quiet);
            more.Put('-', Ink.Quiet);
            more.Figure(first + shown, "0", Ink.Quiet);
            more.Write(" of ", Ink.Quiet);
            more.Figure(buses.Count, "0", Ink.Quiet);
        }
    }

    private static void One(Scene scene, Area area, BusLine bus)
    {
        var trace = scene.Model.TraceOf(bus.Name);
        Title(scene, scene.Pen(area, 0), bus);
        Load(scene.Pen(area, 1), bus, trace, HistoryPainter.Length(trace, area.Width));
        var history = area.Below(2).First(area.Height - LeastRows + 1);
        HistoryPainter.Paint(scene, history, trace);
        var under = area.Below(2 + history.Height);
        Rates(scene.Pen(under, 0), bus.Health, trace);
        ControllerPainter.State(scene, scene.Pen(under, 1), bus.Controller);
        ControllerPainter.Listening(scene, scene.Pen(under, 2), bus);
    }

    private static void Title(Scene scene, Pen pen, BusLine bus)
    {
        pen.Put(scene.Marks.Rule, Ink.Quiet);
        pen.Put(' ');
        pen.Write(bus.Name, Ink.Strong, 20);
        pen.Put(' ');
        pen.Put(scene.Marks.Rule, Ink.Quiet, Math.Max(1, 24 - pen.Column));
        pen.Put(' ');
        var (mark, word, ink) = bus switch
        {
            { Health.IsSilent: true } => (MessageState.Missing, "SILENT", Ink.Bad),
            { Health.Last: null } => (MessageState.Awaited, "no frame yet", Ink.Note),
            _ => (MessageState.Fresh, "speaks", Ink.Good),
        };
        pen.Put(scene.Marks.Of(mark), ink);
        pen.Put(' ');
        pen.Write(word, ink);
        if (bus.Health is { IsSilent: true, Last: { } last } && scene.Model.Health.Now is { } now)
        {
            pen.Put(' ');
            pen.ShortSpan(now - last, ink);
        }

        pen.Put(' ');
        pen.Put(scene.Marks.Rule, Ink.Quiet, Math.Max(1, 48 - pen.Column));
        pen.Put(' ');
        BitRate(ref pen, bus);
        pen.Put(' ');
        if (bus.Controller is { TimesBusOff: > 0 and var times })
        {
            pen.Put(scene.Marks.Rule, Ink.Quiet);
            pen.Write(" bus-off ", Ink.Wary);
            pen.Figure(times, "0' x '", Ink.Wary);
        }

        pen.Rule();
    }

    private static void BitRate(ref Pen pen, BusLine bus)
    {
        if (bus.BitRate is not { } rate)
        {
            pen.Write("bit rate not known", Ink.Quiet);
            return;
        }

        pen.Write(BitRateText.Of(rate, bus.DataBitRate));
    }

    private static void Load(Pen pen, BusLine line, BusTrace? trace, FrameSpan? length)
    {
        var bus = line.Health;
        if (line.BitRate is null && bus.LoadMean is null)
        {
            pen.Write("   no load without a bit rate", Ink.Quiet);
            if (trace is { Count: > 0 })
            {
                pen.Write("   peak ", Ink.Quiet);
                pen.Figure(HistoryPainter.Most(trace), "#,0' frames/s'");
            }
        }
        else
        {
            pen.Write("   load now ", Ink.Quiet);
            PerCent(ref pen, bus.LoadNow, bus.IsSilent ? Ink.Quiet : Ink.Strong);
            pen.Write("   mean ", Ink.Quiet);
            PerCent(ref pen, bus.LoadMean, Ink.Plain);
            pen.Write("   peak ", Ink.Quiet);
            PerCent(ref pen, bus.LoadPeak, Ink.Plain);
        }

        if (length is { } shown && pen.Room > 18)
        {
            pen.Write("   history: ", Ink.Quiet);
            pen.Figure(shown.Seconds, "#,0' s'", Ink.Quiet);
        }
    }

    private static void PerCent(ref Pen pen, double? load, Ink ink)
    {
        if (load is { } known)
        {
            pen.Figure(known, "0.0' %'", ink, 7);
        }
        else
        {
            pen.Write("    - %", Ink.Quiet);
        }
    }

    private static void Rates(Pen pen, BusHealth bus, BusTrace? trace)
    {
        BusReading? latest = trace is { Count: > 0 } ? trace.Back(0) : null;
        pen.Write("   frames ", Ink.Quiet);
        pen.Figure(latest?.Frames ?? 0, "#,0", Ink.Strong, 6);
        pen.Write("/s of ", Ink.Quiet);
        pen.Figure(bus.Frames, "#,0");
        pen.To(SecondColumn);
        var ink = bus.ErrorFrames > 0 ? Ink.Wary : Ink.Quiet;
        pen.Write(bus.ErrorFrames > 0 ? "ERRORS " : "errors ", ink);
        pen.Figure(latest?.Errors ?? 0, "#,0.#", ink);
        pen.Write("/s of ", ink);
        pen.Figure(bus.ErrorFrames, "#,0", ink);
        pen.To(ThirdColumn);
        pen.Write("identifiers ", Ink.Quiet);
        pen.Figure(bus.Identifiers, "0");
        if (bus.RemoteFrames > 0 && pen.Room > 24)
        {
            pen.Write("   remote frames ", Ink.Quiet);
            pen.Figure(bus.RemoteFrames, "#,0");
        }
    }
}
