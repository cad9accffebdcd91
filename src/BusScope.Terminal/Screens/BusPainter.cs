using BusScope.Health;
using BusScope.Terminal.Drawing;

namespace BusScope.Terminal.Screens;

/// <summary>The strip of the buses, always in view: load, error reports, silence.</summary>
internal static class BusPainter
{
    private const int BarWidth = 20;

    /// <summary>Paints a line a bus where the area has one for each, else as many as fit beside each other.</summary>
    public static void Paint(Scene scene, Area area)
    {
        var buses = scene.Model.Buses;
        if (buses.Count == 0)
        {
            var none = scene.Pen(area, 0);
            none.Write(" no bus has spoken yet", Ink.Note);
            return;
        }

        var inRow = (buses.Count + area.Height - 1) / Math.Max(1, area.Height);
        var width = area.Width / inRow;
        for (var i = 0; i < buses.Count && i / inRow < area.Height; i++)
        {
            var place = area with { Left = area.Left + (i % inRow * width), Width = width };
            var pen = scene.Pen(place, i / inRow);
            pen.Put(' ');
            if (width >= 60)
            {
                Long(scene, ref pen, buses[i]);
            }
            else
            {
                Short(scene, ref pen, buses[i]);
            }
        }
    }

    private static void Mark(Scene scene, ref Pen pen, BusLine line)
    {
        var controller = line.Controller is { } known ? ControllerWords.Weight(known.State) : null;
        var state = line.Health.IsSilent || controller == MessageState.Missing ? MessageState.Missing
            : controller is MessageState.Late or MessageState.Stale ? controller
            : line.Health.Last is null ? MessageState.Awaited
            : MessageState.Fresh;
        pen.Put(scene.Marks.Of(state), Marks.InkOf(state));
    }

    // An adapter that is away is the reason of a silence, and told in its place.
    private static bool Away(ref Pen pen, BusLine line)
    {
        if (line.Controller is { } controller && ControllerWords.IsAway(controller.State))
        {
            pen.Write(ControllerWords.Of(controller.State), Ink.Bad);
            return true;
        }

        return false;
    }

    private static void Short(Scene scene, ref Pen pen, BusLine line)
    {
        var bus = line.Health;
        Mark(scene, ref pen, line);
        pen.Put(' ');
        Name(ref pen, bus, Math.Max(4, pen.Room - 15));
        pen.Put(' ');
        if (Away(ref pen, line))
        {
            return;
        }

        if (bus.IsSilent)
        {
            Silence(scene, ref pen, bus);
            return;
        }

        if (line.BitRate is null && bus.LoadNow is null)
        {
            Rate(scene, ref pen, bus, 0);
        }
        else
        {
            Load(ref pen, bus.LoadNow, 0);
            if (pen.Room > 22)
            {
                pen.Write(" peak ", Ink.Quiet);
                Load(ref pen, bus.LoadPeak, 0);
            }
        }

        Errors(ref pen, bus);
    }

    // A bus that is called by a number alone would read as a figure.
    private static void Name(ref Pen pen, BusHealth bus, int width)
    {
        if (bus.Name.Length > 0 && bus.Name.AsSpan().IndexOfAnyExceptInRange('0', '9') < 0)
        {
            pen.Write("bus ", Ink.Strong);
            width -= 4;
        }

        pen.Write(bus.Name, Ink.Strong, Math.Max(1, width));
    }

    // Without a bit rate there is no load, but there are frames.
    private static void Rate(Scene scene, ref Pen pen, BusHealth bus, int width)
    {
        if (scene.Model.TraceOf(bus.Name) is { Count: > 0 } trace)
        {
            pen.Figure(trace.Back(0).Frames, "#,0", Ink.Plain, width);
            pen.Write(" frames/s", Ink.Quiet);
        }
        else
        {
            pen.Figure(bus.Frames, "#,0", Ink.Plain, width);
            pen.Write(" frames", Ink.Quiet);
        }
    }

    private static void Long(Scene scene, ref Pen pen, BusLine line)
    {
        var bus = line.Health;
        Mark(scene, ref pen, line);
        pen.Put(' ');
        Name(ref pen, bus, 14);
        pen.To(17);
        if (Away(ref pen, line))
        {
            // Its figures follow all the same.
        }
        else if (bus.IsSilent)
        {
            Silence(scene, ref pen, bus);
        }
        else if (line.BitRate is null && bus.LoadNow is null)
        {
            Rate(scene, ref pen, bus, 7);
        }
        else
        {
            var filled = (int)Math.Round(Math.Clamp(bus.LoadNow ?? 0, 0, 100) / 100 * BarWidth);
            pen.Put(scene.Marks.Full8, Ink.Note, filled);
            pen.Put(scene.Marks.Empty8, Ink.Quiet, BarWidth - filled);
            pen.Put(' ');
            Load(ref pen, bus.LoadNow, 7);
        }

        pen.To(17 + BarWidth + 10);
        if (line.BitRate is null && bus.LoadMean is null)
        {
            pen.Write("bit rate not known            ", Ink.Quiet);
        }
        else
        {
            pen.Write("mean ", Ink.Quiet);
            Load(ref pen, bus.LoadMean, 7);
            pen.Write("  peak ", Ink.Quiet);
            Load(ref pen, bus.LoadPeak, 7);
        }

        if (pen.Room > 20)
        {
            pen.Write("  identifiers ", Ink.Quiet);
            pen.Figure(bus.Identifiers, "0");
        }

        if (pen.Room > 20)
        {
            pen.Write("  frames ", Ink.Quiet);
            pen.Figure(bus.Frames, "#,0");
        }

        pen.Put(' ');
        Errors(ref pen, bus);
    }

    private static void Silence(Scene scene, ref Pen pen, BusHealth bus)
    {
        pen.Write("SILENT", Ink.Bad);
        if (bus.Last is { } last && scene.Model.Health.Now is { } now)
        {
            pen.Put(' ');
            pen.ShortSpan(now - last, Ink.Bad);
        }
    }

    private static void Load(ref Pen pen, double? load, int width)
    {
        if (load is { } known)
        {
            pen.Figure(known, width == 0 ? "0' %'" : "0.0' %'", Ink.Plain, width);
        }
        else
        {
            pen.Skip(width - 3);
            pen.Write("- %", Ink.Quiet);
        }
    }

    private static void Errors(ref Pen pen, BusHealth bus)
    {
        var ink = bus.ErrorFrames == 0 ? Ink.Quiet : Ink.Wary;
        pen.Write(bus.ErrorFrames == 0 ? " err " : " ERR ", ink);
        pen.Figure(bus.ErrorFrames, bus.ErrorFrames < 10_000 ? "0" : "#,0,'k'", ink);
    }
}
