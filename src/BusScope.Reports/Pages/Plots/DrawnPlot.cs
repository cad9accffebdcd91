namespace BusScope.Reports.Pages.Plots;

/// <summary>A plot ready to stand in a page.</summary>
/// <param name="Svg">The picture: the program's own markup, with every text encoded.</param>
/// <param name="Caption">What it shows, as plain text.</param>
internal sealed record DrawnPlot(string Svg, string Caption);
