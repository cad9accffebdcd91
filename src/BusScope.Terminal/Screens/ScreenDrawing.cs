using System.Globalization;
using System.Text;
using BusScope.Terminal.Drawing;
using Terminal.Gui.Drawing;

namespace BusScope.Terminal.Screens;

/// <summary>What stands on the screen as a drawing (Scalable Vector Graphics 1.1): for a report, a message, a wall. It loads nothing from elsewhere.</summary>
internal static class ScreenDrawing
{
    private const int CellWidth = 9, CellHeight = 19, FontSize = 15, Baseline = 15;
    private const string Paper = "#ffffff", Text = "#1a1a1a", Quiet = "#767676";

    /// <summary>The drawing of a sheet in the inks of a theme, on white.</summary>
    public static string Of(Sheet sheet, Theme theme)
    {
        var (width, height) = (sheet.Width * CellWidth, sheet.Height * CellHeight);
        var svg = new StringBuilder();
        _ = svg.Append(CultureInfo.InvariantCulture, $"<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}\" height=\"{height}\" viewBox=\"0 0 {width} {height}\">\n")
            .Append(CultureInfo.InvariantCulture, $"<rect width=\"100%\" height=\"100%\" fill=\"{Paper}\"/>\n")
            .Append(CultureInfo.InvariantCulture, $"<g font-family=\"DejaVu Sans Mono, Menlo, Consolas, monospace\" font-size=\"{FontSize}\" xml:space=\"preserve\">\n");
        for (var row = 0; row < sheet.Height; row++)
        {
            Row(svg, row, sheet.Characters(row), sheet.Inks(row), theme);
        }

        return svg.Append("</g>\n</svg>\n").ToString();
    }

    private static void Row(StringBuilder svg, int row, ReadOnlySpan<char> characters, ReadOnlySpan<Ink> inks, Theme theme)
    {
        for (int start = 0, end; start < characters.Length; start = end)
        {
            for (end = start + 1; end < characters.Length && inks[end] == inks[start]; end++)
            {
            }

            var run = characters[start..end];
            var (fill, paper, style) = Look(inks[start], theme);
            if (paper != Paper)
            {
                _ = svg.Append(CultureInfo.InvariantCulture, $"<rect x=\"{start * CellWidth}\" y=\"{row * CellHeight}\" width=\"{run.Length * CellWidth}\" height=\"{CellHeight}\" fill=\"{paper}\"/>\n");
            }

            if (!run.Trim(' ').IsEmpty)
            {
                // The length holds columns below each other whatever the font.
                _ = svg.Append(CultureInfo.InvariantCulture, $"<text x=\"{start * CellWidth}\" y=\"{(row * CellHeight) + Baseline}\" textLength=\"{run.Length * CellWidth}\" fill=\"{fill}\"{style}>");
                Escaped(svg, run);
                _ = svg.Append("</text>\n");
            }
        }
    }

    private static (string Fill, string Paper, string Style) Look(Ink ink, Theme theme)
    {
        var attribute = theme[ink];
        var fill = attribute.Foreground == Color.None ? (attribute.Style.HasFlag(TextStyle.Faint) ? Quiet : Text) : Hex(attribute.Foreground);
        var paper = attribute.Background == Color.None ? Paper : Hex(attribute.Background);
        (fill, paper) = attribute.Style.HasFlag(TextStyle.Reverse) ? (paper, fill) : (fill, paper);
        var style = attribute.Style.HasFlag(TextStyle.Bold) ? " font-weight=\"bold\"" : "";
        return (fill, paper, attribute.Style.HasFlag(TextStyle.Underline) ? style + " text-decoration=\"underline\"" : style);
    }

    private static string Hex(Color colour) => string.Create(CultureInfo.InvariantCulture, $"#{colour.R:x2}{colour.G:x2}{colour.B:x2}");

    // A sheet holds no control characters, and half of a surrogate pair never.
    private static void Escaped(StringBuilder svg, ReadOnlySpan<char> text)
    {
        foreach (var c in text)
        {
            _ = c switch
            {
                '&' => svg.Append("&amp;"),
                '<' => svg.Append("&lt;"),
                '>' => svg.Append("&gt;"),
                _ => svg.Append(c),
            };
        }
    }
}
