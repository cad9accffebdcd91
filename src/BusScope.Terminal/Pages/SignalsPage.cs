using BusScope.Session.Readings;
using BusScope.Signals.Definitions;
using BusScope.Signals.Plans;
using BusScope.Terminal.Drawing;
using BusScope.Terminal.Screens;

namespace BusScope.Terminal.Pages;

/// <summary>Every signal with its value, its smallest and largest, and what it did lately; the watch list on top.</summary>
internal sealed class SignalsPage(Desk desk) : ScreenPage(desk)
{
    private const int FieldWidth = 10, UnitWidth = 8;

    private readonly List<ReadingRequest> readings = [];

    /// <inheritdoc/>
    public override Page Kind => Page.Signals;

    /// <inheritdoc/>
    public override IReadOnlyList<KeyHint> Hints { get; } =
    [
        new("Up Dn", "line", 3), new("w", "watch", 1), new("t", "trace", 1), new("T", "show it", 2), new("i", "units", 3), new("Enter", "message", 4), new("/", "filter", 2),
        new("o", "order", 5), new("Space", "stop", 3, ForReplay: true), new("v", "back", 1), new("?", "help", 0), new("q", "quit", 0),
    ];

    /// <inheritdoc/>
    public override IReadOnlyList<ReadingRequest> Readings => readings;

    private SignalLines Lines => Model.Signals;

    /// <inheritdoc/>
    public override void Paint(Scene scene, Layout layout)
    {
        var area = layout.Body;
        var room = Math.Max(1, area.Height - 2);
        PageRows = room;
        readings.Clear();
        var first = scene.FirstRow(3, Math.Max(0, Lines.Row), Lines.Shown.Count, room);
        var title = scene.Pen(area, 0);
        scene.Title(ref title, Title(), isHere: true, first, Lines.Shown.Count, room);
        var columns = Columns(area.Width);
        Heads(scene.Pen(area, 1), columns);
        for (var row = 0; row < room && first + row < Lines.Shown.Count; row++)
        {
            var line = Lines.Shown[first + row];
            readings.Add(new ReadingRequest(line.Key, TraceWindows.Sparkline, columns.Sparkline));
            Line(scene, scene.Pen(area.Below(2), row), line, columns, isChosen: first + row == Lines.Row);
        }

        if (Lines.Shown.Count == 0)
        {
            var none = scene.Pen(area.Below(2), 0);
            none.Write(Choice.Filter.Length > 0 ? "  nothing matches the filter" : "  no signal is defined", Ink.Quiet);
        }
    }

    /// <inheritdoc/>
    public override void Move(int rows)
    {
        if (Lines.Shown.Count > 0)
        {
            Choice.Signal = Lines.Shown[Math.Clamp(Lines.Row + rows, 0, Lines.Shown.Count - 1)].Key;
        }
    }

    /// <inheritdoc/>
    public override bool Do(KeyAction action)
    {
        if (action == KeyAction.Into && Lines.Chosen is { } line)
        {
            if (line.Key.IsComputed)
            {
                Desk.Hands.Say($"{line.Name} is computed from other signals and has no message", Ink.Note);
            }
            else
            {
                Jump.To(Choice, Model, line.Key);
            }

            return true;
        }

        return Lines.Chosen is { } chosen && SignalKeys.Do(action, chosen, Choice, Desk.Hands);
    }

    private string Title()
    {
        var watched = Choice.Watched.Count;
        var title = watched > 0 ? $"Signals, {watched} watched" : "Signals";
        return Choice.Order == Order.Name ? title + ", by name" : title;
    }

    private static (int Name, int Message, int Value, int Sparkline) Columns(int width)
    {
        var name = width >= 110 ? 26 : 20;
        var message = width >= 110 ? 18 : 0;
        var value = 3 + name + message;
        var left = width - value - (3 * FieldWidth) - UnitWidth - 5;
        return (name, message, value, Math.Max(0, left));
    }

    private static void Heads(Pen pen, (int Name, int Message, int Value, int Sparkline) columns)
    {
        pen.To(3);
        pen.Write("signal", Ink.Quiet);
        if (columns.Message > 0)
        {
            pen.To(3 + columns.Name);
            pen.Write("message", Ink.Quiet);
        }

        pen.To(columns.Value + FieldWidth - 5);
        pen.Write("value", Ink.Quiet);
        pen.To(columns.Value + FieldWidth + 2 + UnitWidth + FieldWidth - 8);
        pen.Write("smallest", Ink.Quiet);
        pen.To(columns.Value + FieldWidth + 3 + UnitWidth + (2 * FieldWidth) - 7);
        pen.Write("largest", Ink.Quiet);
        pen.Skip(2);
        pen.Write("last 10 s", Ink.Quiet);
    }

    private void Line(Scene scene, Pen pen, SignalLine line, (int Name, int Message, int Value, int Sparkline) columns, bool isChosen)
    {
        var reading = Lines.ReadingOf(line.Key);
        var form = Units.Form(line.Unit, Choice.IsUs);
        var traced = Choice.Traced.IndexOf(line.Key);
        pen.Put(isChosen ? scene.Marks.Chosen : ' ', Ink.Key);
        pen.Put(Choice.Watched.Contains(line.Key) ? 'w' : ' ', Ink.Key);
        pen.Put(traced >= 0 ? (char)('1' + traced) : ' ', Ink.Key);
        pen.Write(line.Name, Ink.Plain, columns.Name - 1);
        if (columns.Message > 0)
        {
            pen.To(3 + columns.Name);
            pen.Write(line.Message?.Name ?? "computed", Ink.Quiet, columns.Message - 1);
        }

        pen.To(columns.Value);
        Value(scene, ref pen, line, reading, form);
        pen.To(columns.Value + FieldWidth + 1 + UnitWidth);
        pen.Value(reading?.Smallest ?? double.NaN, line.Decimals, form, Ink.Quiet, FieldWidth + 1);
        pen.Value(reading?.Largest ?? double.NaN, line.Decimals, form, Ink.Quiet, FieldWidth + 1);
        pen.Skip(2);
        if (reading is not null && reading.Request.Columns == columns.Sparkline)
        {
            pen.Sparkline(scene, reading.Trace.Span, Ink.Note);
        }

        if (isChosen)
        {
            pen.TintRow(Ink.Chosen);
        }
    }

    // A named value takes the room of its unit as well.
    private void Value(Scene scene, ref Pen pen, SignalLine line, SignalReading? reading, UnitForm form)
    {
        if (reading is null)
        {
            var payload = TextOf(line);
            pen.Write(payload ?? "not seen", payload is null ? Ink.Quiet : Ink.Strong, FieldWidth + UnitWidth);
            return;
        }

        var quality = Lines.IsStale(line) && reading.Latest.Quality == SampleQuality.Ok ? SampleQuality.Stale : reading.Latest.Quality;
        var ink = Values.InkOf(quality);
        if (quality is SampleQuality.NotAvailable or SampleQuality.Error)
        {
            pen.Put(scene.Marks.Of(quality), ink);
            pen.Write(Marks.Word(quality), ink, FieldWidth + UnitWidth - 1);
        }
        else if (line.Plan?.NameOf(reading.Latest.Raw) is { } name)
        {
            pen.Put(scene.Marks.Of(quality), ink);
            pen.Write(name, ink, FieldWidth + UnitWidth - 1);
        }
        else
        {
            pen.Put(scene.Marks.Of(quality), ink);
            pen.Value(reading.Latest.Value, line.Decimals, form, ink, FieldWidth - 1);
            pen.Put(' ');
            pen.Write(form.Unit, Ink.Quiet, UnitWidth);
        }
    }

    // A text has no value that could be followed; it stands in the latest payload.
    private string? TextOf(SignalLine line)
    {
        if (line.Plan is { Definition.Encoding: SignalEncoding.Text } signal)
        {
            foreach (var message in Model.Health.Messages)
            {
                if (message.DefinitionIndex == line.Key.Message)
                {
                    return signal.Text(message.Payload.Span);
                }
            }
        }

        return null;
    }
}
