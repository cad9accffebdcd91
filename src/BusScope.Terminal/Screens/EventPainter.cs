using BusScope.Session;
using BusScope.Terminal.Drawing;

namespace BusScope.Terminal.Screens;

/// <summary>What happened, newest first.</summary>
internal static class EventPainter
{
    // Behind the time, the mark and a blank.
    private const int TextAt = 14;

    /// <summary>Paints the latest events that fit; one row has no title.</summary>
    public static void Latest(Scene scene, Area area)
    {
        var events = scene.Model.Snapshot.Events;
        if (area.Height > 1)
        {
            var title = scene.Pen(area, 0);
            scene.Title(ref title, "Events, newest first", isHere: false, 0, events.Count, int.MaxValue);
            area = area.Below(1);
        }

        for (var row = 0; row < area.Height && row < events.Count; row++)
        {
            Line(scene, scene.Pen(area, row), events[events.Count - 1 - row]);
        }

        if (events.Count == 0)
        {
            var pen = scene.Pen(area, 0);
            pen.Write(" no event yet", Ink.Quiet);
        }
    }

    /// <summary>Paints the page of all events, with the chosen one, below the problems of the recording.</summary>
    public static void Page(Scene scene, Area area)
    {
        var model = scene.Model;
        area = area.Below(ProblemLines.Paint(scene, area));
        area = area.First(area.Height - Whole(scene, area));
        var room = Math.Max(1, area.Height - 1);
        var first = scene.FirstRow(3, model.EventRow, model.Events.Count, room);
        var title = scene.Pen(area, 0);
        scene.Title(ref title, "Events, newest first", isHere: false, first, model.Events.Count, room);
        var lines = area.Below(1);
        for (var row = 0; row < lines.Height && first + row < model.Events.Count; row++)
        {
            var isChosen = first + row == model.EventRow;
            var pen = Line(scene, scene.Pen(lines, row), model.Snapshot.Events[model.Events[first + row]]);
            if (isChosen)
            {
                pen.Over(0, scene.Marks.Chosen, Ink.Key);
                pen.TintRow(Ink.Chosen);
            }
        }

        if (model.Events.Count == 0)
        {
            var none = scene.Pen(lines, 0);
            none.Write(scene.Choice.Filter.Length > 0 ? "  nothing matches the filter" : " no event yet", Ink.Quiet);
        }
    }

    // Where the chosen event does not fit into its line, its sentence stands whole in the lowest rows.
    private static int Whole(Scene scene, Area area)
    {
        if (scene.Model.Event is not { } chosen)
        {
            return 0;
        }

        var rest = scene.Marks.Safe(chosen.Text).AsSpan();
        if (rest.Length <= area.Width - TextAt)
        {
            return 0;
        }

        var lines = Math.Min(Wrap.Lines(rest, area.Width - TextAt), Math.Max(0, area.Height - 3));
        for (var row = area.Height - lines; row < area.Height; row++)
        {
            var pen = scene.Pen(area, row);
            pen.Put(row == area.Height - lines ? scene.Marks.Chosen : ' ', Ink.Key);
            pen.To(TextAt);
            pen.Write(Wrap.Take(ref rest, area.Width - TextAt), Ink.Strong);
        }

        return lines;
    }

    private static Pen Line(Scene scene, Pen pen, SessionEvent happened)
    {
        pen.Put(' ');
        if (happened.At.IsKnown)
        {
            pen.Clock(scene.Model.SinceStart(happened.At), Ink.Quiet);
        }

        pen.To(Math.Max(pen.Column + 1, 12));
        var ink = happened.IsMark ? Ink.Strong : Marks.InkOf(happened.Severity);
        pen.Put(happened.IsMark ? scene.Marks.Mark : scene.Marks.Of(happened.Severity), ink);
        pen.Put(' ');
        pen.Write(happened.Text, ink);
        return pen;
    }
}
