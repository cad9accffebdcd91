using BusScope.Session.Readings;
using BusScope.Terminal.Drawing;

namespace BusScope.Terminal.Screens;

/// <summary>What a signal did lately in one row of cells, between its own smallest and largest value within that time.</summary>
internal static class SparklinePainter
{
    private const string Eighths = "▁▂▃▄▅▆▇█";
    private const string PlainEighths = "__..::##";

    /// <summary>Writes a cell for each column; a blank where no value came.</summary>
    public static void Sparkline(ref this Pen pen, Scene scene, ReadOnlySpan<TraceBin> columns, Ink ink)
    {
        var (low, high) = Range(columns);
        var start = pen.Column;
        foreach (var column in columns)
        {
            if (!column.HasValue)
            {
                pen.Put(' ');
                continue;
            }

            // Of a column the end that is farther from the middle is what happened in it.
            var middle = (low + high) / 2;
            var value = Math.Abs(column.Largest - middle) >= Math.Abs(column.Smallest - middle) ? column.Largest : column.Smallest;
            var eighth = high > low ? (int)Math.Round((value - low) / (high - low) * 7) : 0;
            pen.Put((scene.Marks.IsAscii ? PlainEighths : Eighths)[Math.Clamp(eighth, 0, 7)], ink);
        }

        pen.FigureFrom(start);
    }

    /// <summary>The smallest and the largest value within the columns; NaN where there is none.</summary>
    public static (double Low, double High) Range(ReadOnlySpan<TraceBin> columns)
    {
        var all = TraceBin.None;
        foreach (var column in columns)
        {
            all = all.With(column);
        }

        return (all.Smallest, all.Largest);
    }
}
