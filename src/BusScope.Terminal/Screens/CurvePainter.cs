using BusScope.Session.Readings;
using BusScope.Terminal.Drawing;

namespace BusScope.Terminal.Screens;

/// <summary>
/// A curve in character cells: eight dots a cell (Unicode block "Braille Patterns", U+2800), two columns by four rows; in plain
/// letters one star a cell. Each column shows the whole range of its stretch of time, joined to the one before it.
/// </summary>
internal static class CurvePainter
{
    private const int DotRows = 4;
    private const char NoDots = '\u2800';

    // By row from the top: the bit of the left and of the right dot.
    private static ReadOnlySpan<byte> Left => [0x01, 0x02, 0x04, 0x40];

    private static ReadOnlySpan<byte> Right => [0x08, 0x10, 0x20, 0x80];

    /// <summary>Paints a curve.</summary>
    /// <param name="scene">Where and with which marks.</param>
    /// <param name="area">The cells.</param>
    /// <param name="columns">The columns, the newest last; two a cell, in plain letters one.</param>
    /// <param name="before">What stood before the first.</param>
    /// <param name="scale">The values of the lowest and of the highest dot.</param>
    /// <param name="hold">For how many columns a value holds when none comes.</param>
    /// <param name="cursor">The column under the cursor, counted from the newest, or null.</param>
    public static void Paint(Scene scene, Area area, ReadOnlySpan<TraceBin> columns, TraceBin before, (double Low, double High) scale, int hold, int? cursor)
    {
        var isPlain = scene.Marks.IsAscii;
        var rows = area.Height * (isPlain ? 1 : DotRows);
        if (area.IsEmpty || double.IsNaN(scale.Low))
        {
            return;
        }

        var perCell = isPlain ? 1 : 2;
        var cursorCell = cursor is >= 0 and var back && back < columns.Length ? (columns.Length - 1 - back) / perCell : -1;
        Span<byte> dots = stackalloc byte[Math.Min(area.Height, 256)];
        for (var cell = 0; cell * perCell < columns.Length && cell < area.Width; cell++)
        {
            dots.Clear();
            for (var half = 0; half < perCell && (cell * perCell) + half < columns.Length; half++)
            {
                var (top, bottom) = Extent(columns, before, (cell * perCell) + half, hold, scale, rows);
                for (var row = top; row <= bottom; row++)
                {
                    dots[isPlain ? row : row / DotRows] |= isPlain ? (byte)1 : (half == 0 ? Left : Right)[row % DotRows];
                }
            }

            for (var row = 0; row < dots.Length; row++)
            {
                var pen = scene.Pen(area with { Left = area.Left + cell, Width = area.Width - cell }, row);
                if (dots[row] != 0)
                {
                    pen.Put(isPlain ? '*' : (char)(NoDots + dots[row]), cell == cursorCell ? Ink.Key : Ink.Note);
                }
                else if (cell == cursorCell)
                {
                    pen.Put(scene.Marks.Wall, Ink.Quiet);
                }
            }
        }
    }

    /// <summary>What a signal said in a column: its range, or where no value came what it held; none where that is too long ago.</summary>
    public static TraceBin At(ReadOnlySpan<TraceBin> columns, TraceBin before, int column, int hold)
    {
        for (var back = 0; back <= hold && column - back >= 0; back++)
        {
            if (columns[column - back].HasValue)
            {
                return columns[column - back];
            }
        }

        return column < hold ? before : TraceBin.None;
    }

    // The rows from top to bottom that a column fills; none where the top lies below the bottom.
    private static (int Top, int Bottom) Extent(ReadOnlySpan<TraceBin> columns, TraceBin before, int column, int hold, (double Low, double High) scale, int rows)
    {
        var bin = columns[column];
        var last = column > 0 ? At(columns, before, column - 1, hold) : before;
        if (!bin.HasValue)
        {
            var held = At(columns, before, column, hold);
            if (!held.HasValue)
            {
                return (1, 0);
            }

            var row = RowOf((held.Smallest + held.Largest) / 2, scale, rows);
            return (row, row);
        }

        var (top, bottom) = (RowOf(bin.Largest, scale, rows), RowOf(bin.Smallest, scale, rows));
        if (last.HasValue)
        {
            // Joined to the column before it, so that a step is a line and not a gap.
            top = Math.Min(top, RowOf(last.Smallest, scale, rows));
            bottom = Math.Max(bottom, RowOf(last.Largest, scale, rows));
        }

        return (top, bottom);
    }

    private static int RowOf(double value, (double Low, double High) scale, int rows) =>
        (int)Math.Round(Math.Clamp((scale.High - value) / (scale.High - scale.Low), 0, 1) * (rows - 1));
}
