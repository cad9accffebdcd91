using BusScope.Session;
using BusScope.Terminal.Drawing;

namespace BusScope.Terminal.Screens;

/// <summary>What happened, newest first.</summary>
internal static class EventPainter
{
    /// <summary>Paints the latest events that fit; one row has no title.</summary>
    public static void Latest(Scene scene, Area area, int firstShown = 0)
    {
        var events = scene.Model.Snapshot.Events;
        var hasTitle = area.Height > 1;
        if (hasTitle)
        {
            var title = scene.Pen(area, 0);
            scene.Title(ref title, (Part)(-1), "Events, newest first", firstShown, events.Count, firstShown > 0 ? area.Height - 1 : int.MaxValue);
        }

        var lines = hasTitle ? area.Below(1) : area;
        for (var row = 0; row < lines.Height && firstShown + row < events.Count; row++)
        {
            var pen = scene.Pen(lines, row);
            Line(scene, ref pen, events[events.Count - 1 - firstShown - row]);
        }

        if (events.Count == 0)
        {
            var pen = scene.Pen(lines, 0);
            pen.Write(" no event yet", Ink.Quiet);
        }
    }

    /// <summary>Paints the page of all events.</summary>
    public static void Page(Scene scene, Area area)
    {
        var rows = scene.Model.Snapshot.Events.Count;
        var room = Math.Max(1, area.Height - 1);
        var first = scene.Choice.Scroll[3] = Math.Clamp(scene.Choice.Scroll[3], 0, Math.Max(0, rows - room));
        Latest(scene, area, first);
    }

    private static void Line(Scene scene, ref Pen pen, SessionEvent happened)
    {
        pen.Put(' ');
        pen.Clock(scene.Model.SinceStart(happened.At), Ink.Quiet);
        pen.To(Math.Max(pen.Column + 1, 12));
        pen.Put(scene.Marks.Of(happened.Severity), Marks.InkOf(happened.Severity));
        pen.Put(' ');
        pen.Write(happened.Text, Marks.InkOf(happened.Severity));
    }
}
