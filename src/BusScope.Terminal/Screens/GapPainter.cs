using BusScope.Frames;
using BusScope.Health;
using BusScope.Terminal.Drawing;

namespace BusScope.Terminal.Screens;

/// <summary>How the gaps between the frames of a message lie around their median, as columns of character cells.</summary>
internal static class GapPainter
{
    private const int Left = 2;

    // How many lie outside of the scale stands beside it.
    private const int RoomForOutside = 14;

    // A title, a row of columns, the scale.
    private const int LeastRows = 3;

    /// <summary>Paints the columns between a title and their scale.</summary>
    public static void Paint(Scene scene, Area area, GapDistribution? gaps)
    {
        if (area.Height < LeastRows)
        {
            return;
        }

        Title(scene.Pen(area, 0), scene, gaps);
        if (gaps is null)
        {
            scene.Pen(area, 1).Write("  two frames make the first gap", Ink.Quiet);
            return;
        }

        var each = Math.Clamp((area.Width - Left - RoomForOutside) / gaps.Counts.Count, 1, 3);
        var rows = area.Height - LeastRows + 1;
        var most = gaps.Counts.Max();
        for (var row = 0; row < rows; row++)
        {
            var pen = scene.Pen(area.Below(1), row);
            pen.To(Left);
            foreach (var count in gaps.Counts)
            {
                var filled = most == 0 ? 0 : (count * rows / (double)most) - (rows - 1 - row);
                pen.Put(HistoryPainter.Cell(scene.Marks, filled, row == rows - 1), Ink.Note, each);
            }

            Outside(ref pen, row - rows + 2, gaps);
        }

        Scale(scene.Pen(area, area.Height - 1), gaps, each * gaps.Counts.Count);
    }

    private static void Title(Pen pen, Scene scene, GapDistribution? gaps)
    {
        pen.Put(scene.Marks.Rule, Ink.Quiet);
        pen.Write(" gaps between frames ", Ink.Strong);
        if (gaps is not null)
        {
            pen.Figure(gaps.Counts.Sum() + gaps.Shorter + gaps.Longer, "#,0' '", Ink.Quiet);
        }

        pen.Rule();
    }

    // In the lowest row those that are longer than the scale, above it the shorter ones.
    private static void Outside(ref Pen pen, int row, GapDistribution gaps)
    {
        var (word, count) = row == 1 ? ("longer ", gaps.Longer) : row == 0 ? ("shorter ", gaps.Shorter) : ("", 0);
        if (count > 0)
        {
            pen.Skip(1);
            pen.Write(word, Ink.Quiet);
            pen.Figure(count, "#,0");
        }
    }

    private static void Scale(Pen pen, GapDistribution gaps, int width)
    {
        Label(ref pen, gaps.From, Left, 0);
        Label(ref pen, gaps.Median, Left + (width / 2), 0.5);
        Label(ref pen, gaps.Until, Left + width, 1);
    }

    private static void Label(ref Pen pen, FrameSpan span, int column, double share)
    {
        Span<char> text = stackalloc char[24];
        if (Figures.TryWrite(span, text, out var length))
        {
            pen.To(column - (int)(length * share));
            pen.Write(text[..length], Ink.Quiet);
        }
    }
}
