using System.Globalization;
using System.Text;
using System.Text.RegularExpressions;
using ScottPlot;

namespace BusScope.Reports.Pages.Plots;

/// <summary>
/// A sheet to plot on, in the manner of the page. The library scales, finds ticks and draws; the words are set here as text of the
/// page, so that they need no font where the page is made and have the page's where it is read. See docs/decisions/0501-scottplot.md.
/// </summary>
internal sealed partial class PlotPaper
{
    /// <summary>The colour of what was measured.</summary>
    public static readonly Color Measured = Color.FromHex("#0072B2");

    /// <summary>The colour of what is wrong.</summary>
    public static readonly Color Wrong = Color.FromHex("#D55E00");

    /// <summary>The colour of limits.</summary>
    public static readonly Color Limit = Color.FromHex("#6B7280");

    private const int Width = 560;
    private const int Height = 190;

    // Two lines of text: farther away a name would not be read as that of its line.
    private const float MostAside = 24;
    private static readonly PixelPadding Margins = new(left: 52, right: 10, bottom: 36, top: 24);
    private static readonly Color Ink = Color.FromHex("#374151");
    private static readonly Color Grid = Color.FromHex("#E5E7EB");

    private readonly List<(double At, string Text, bool ToTheLeft, double Clear)> limits = [];

    /// <summary>An empty sheet.</summary>
    public PlotPaper()
    {
        Plot.FigureBackground.Color = Colors.Transparent;
        Plot.DataBackground.Color = Colors.Transparent;
        Plot.Grid.MajorLineColor = Grid;
        Plot.Layout.Fixed(Margins);
        foreach (var axis in Plot.Axes.GetAxes())
        {
            axis.FrameLineStyle.Color = Ink;
            axis.MajorTickStyle.Color = Ink;
            axis.MajorTickStyle.Length = 4;
            axis.MinorTickStyle.Length = 0;
            axis.MinorTickStyle.Width = 0;
            axis.TickLabelStyle.IsVisible = false;
        }

        Plot.Axes.Left.FrameLineStyle.Width = 0;
        Plot.Axes.Left.MajorTickStyle.Length = 0;
        Plot.Axes.Right.FrameLineStyle.Width = 0;
        Plot.Axes.Top.FrameLineStyle.Width = 0;
    }

    /// <summary>The library's plot.</summary>
    public Plot Plot { get; } = new();

    /// <summary>Draws a line through points.</summary>
    public void Line(IReadOnlyList<(double X, double Y)> points, Color colour)
    {
        var line = Plot.Add.Scatter(points.Select(point => point.X).ToArray(), points.Select(point => point.Y).ToArray(), colour);
        line.MarkerSize = 0;
        line.LineWidth = 1;
    }

    /// <summary>Draws a limit across the sheet, with its name above one of its ends, so that two limits close together can be told apart.</summary>
    /// <param name="at">Where.</param>
    /// <param name="text">Its name.</param>
    /// <param name="toTheLeft">At which end.</param>
    /// <param name="clear">What lies above this there does not hide what was measured; it is heeded where the name stays near its line.</param>
    public void Bound(double at, string text, bool toTheLeft = false, double clear = double.NegativeInfinity)
    {
        Plot.Add.HorizontalLine(at, 1, Limit, LinePattern.Dashed);
        limits.Add((at, text, toTheLeft, clear));
    }

    /// <summary>The picture.</summary>
    /// <param name="title">What a screen reader says.</param>
    /// <param name="upward">What the vertical axis counts.</param>
    public string ToSvg(string title, string upward)
    {
        var drawing = Plot.GetSvgXml(Width, Height);
        var inside = drawing[(drawing.IndexOf('>', drawing.IndexOf("<svg", StringComparison.Ordinal)) + 1)..drawing.LastIndexOf("</svg>", StringComparison.Ordinal)];
        var svg = new StringBuilder($"<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {Width} {Height}\" role=\"img\" aria-label=\"{Markup.Encoded(title)}\">")
            .Append(Blank().Replace(LongNumber().Replace(inside, Shortened), "><"));
        Text(svg, Margins.Left - 44, 12, "start", upward, "unit");
        Text(svg, Width - Margins.Right, Height - 4, "end", "seconds since the first frame", "unit");
        foreach (var tick in Plot.Axes.Bottom.TickGenerator.Ticks.Where(tick => tick.IsMajor))
        {
            Text(svg, Plot.GetPixel(new Coordinates(tick.Position, 0)).X, Height - Margins.Bottom + 15, "middle", tick.Label);
        }

        foreach (var tick in Plot.Axes.Left.TickGenerator.Ticks.Where(tick => tick.IsMajor))
        {
            Text(svg, Margins.Left - 6, Plot.GetPixel(new Coordinates(0, tick.Position)).Y + 4, "end", tick.Label);
        }

        foreach (var (at, text, toTheLeft, clear) in limits)
        {
            var (line, measured) = (Plot.GetPixel(new Coordinates(0, at)).Y, Plot.GetPixel(new Coordinates(0, Math.Max(at, clear))).Y);
            Text(svg, toTheLeft ? Margins.Left + 4 : Width - Margins.Right - 2, (line - measured <= MostAside ? measured : line) - 4, toTheLeft ? "start" : "end", text, "limit");
        }

        return svg.Append("</svg>").ToString();
    }

    private static void Text(StringBuilder svg, float x, float y, string anchor, string text, string? kind = null) =>
        svg.Append(CultureInfo.InvariantCulture, $"<text x=\"{x:0.#}\" y=\"{y:0.#}\" text-anchor=\"{anchor}\"{(kind is null ? "" : $" class=\"{kind}\"")}>{Markup.Encoded(text)}</text>");

    private static string Shortened(Match number) => double.Parse(number.Value, CultureInfo.InvariantCulture).ToString("0.#", CultureInfo.InvariantCulture);

    // Only coordinates have so many digits; a tenth of a pixel is finer than any printer needs on this sheet.
    [GeneratedRegex(@"(?<=[\sML"",])-?\d+\.\d{2,}(?=[\sML"",])")]
    private static partial Regex LongNumber();

    [GeneratedRegex(@">\s+<")]
    private static partial Regex Blank();
}
