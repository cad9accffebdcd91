using BusScope.Terminal.Drawing;

namespace BusScope.Terminal.Screens;

/// <summary>The latest readings of a bus as columns of character cells, the newest to the right.</summary>
internal static class HistoryPainter
{
    // What "100 %" takes, or "12,345/s", and a blank.
    private const int LoadAxis = 6, FrameAxis = 9;

    private const string Eighths = " ▁▂▃▄▅▆▇█";

    /// <summary>Paints as many readings as there are columns into the rows of an area, with the scale to the left.</summary>
    public static void Paint(Scene scene, Area area, BusTrace? trace)
    {
        var hasLoad = HasLoad(trace);
        var top = hasLoad ? 100 : Most(trace!);
        for (var row = 0; row < area.Height; row++)
        {
            var pen = scene.Pen(area, row);
            Axis(ref pen, row, area.Height, top, hasLoad);
            var room = Math.Max(0, pen.Room - 2);
            for (var column = 0; column < room; column++)
            {
                var back = room - 1 - column;
                if (trace is null || back >= trace.Count)
                {
                    pen.Put(row == area.Height - 1 ? scene.Marks.Dot : ' ', Ink.Quiet);
                    continue;
                }

                var reading = trace.Back(back);
                var share = Math.Clamp((reading.Load ?? reading.Frames) / top, 0, 1);
                if (share == 0 && row == area.Height - 1)
                {
                    pen.Put(scene.Marks.Rule, Ink.Quiet);
                    continue;
                }

                pen.Put(Cell(scene.Marks, share * area.Height - (area.Height - 1 - row), row == area.Height - 1), Ink.Note);
            }
        }
    }

    private static bool HasLoad(BusTrace? trace) => trace is not { Count: > 0 } || trace.Back(0).Load is not null;

    /// <summary>Over how long the readings go that fit into so many columns.</summary>
    public static Frames.FrameSpan? Length(BusTrace? trace, int width)
    {
        var shown = trace is null ? 0 : Math.Min(trace.Count, width - (HasLoad(trace) ? LoadAxis : FrameAxis) - 2);
        return shown > 0 ? trace!.Back(0).At - trace.Back(shown - 1).At + Frames.FrameSpan.FromSeconds(1) : null;
    }

    private static void Axis(ref Pen pen, int row, int rows, double top, bool hasLoad)
    {
        // One row has room for the upper end alone.
        if (row == 0 || (rows > 2 && row == rows - 1))
        {
            pen.Figure(row == 0 ? top : 0, hasLoad ? "0' %'" : "#,0'/s'", Ink.Quiet, (hasLoad ? LoadAxis : FrameAxis) - 1);
        }

        pen.To(hasLoad ? LoadAxis : FrameAxis);
    }

    /// <summary>The most frames a second of all readings; 1 at least, for a scale.</summary>
    public static double Most(BusTrace trace)
    {
        var most = 1.0;
        for (var i = 0; i < trace.Count; i++)
        {
            most = Math.Max(most, trace.Back(i).Frames);
        }

        return most;
    }

    /// <summary>A cell of a column that is filled from below by so much of a row; what is there at all leaves a trace in the lowest row.</summary>
    public static char Cell(Marks marks, double filled, bool isLowest)
    {
        var eighths = (int)Math.Round(Math.Clamp(filled, 0, 1) * 8);
        eighths = isLowest && filled > 0 ? Math.Max(1, eighths) : eighths;
        return !marks.IsAscii ? Eighths[eighths]
            : eighths switch { 0 => ' ', <= 3 => '.', <= 6 => ':', _ => '#' };
    }
}
