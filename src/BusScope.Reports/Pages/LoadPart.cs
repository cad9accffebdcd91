using BusScope.Health;
using BusScope.Reports.Layout;
using BusScope.Reports.Pages.Plots;

namespace BusScope.Reports.Pages;

/// <summary>How busy each bus was over time.</summary>
internal sealed class LoadPart(Markup page, HealthReport report)
{
    /// <summary>Writes the part.</summary>
    public void Write()
    {
        page.Element("section", "load", () =>
        {
            page.Element("h2", null, "Buses");
            new Table(page, "buses", "bus", ">frames", ">identifiers", ">error reports", ">mean load", ">busiest second", ">silences", ">longest silence")
                .Write(report.Buses.Select(RowOf));
            page.Element("div", "plots", () =>
            {
                foreach (var bus in report.Buses)
                {
                    if (LoadPlot.Of(bus, report) is { } plot)
                    {
                        page.Element("figure", null, () =>
                        {
                            page.Raw(plot.Svg);
                            page.Element("figcaption", null, plot.Caption);
                        });
                    }
                }
            });
        });
        page.Line();
    }

    private static IReadOnlyList<Action<Markup>?> RowOf(BusHealth bus) =>
    [
        cell => cell.Element("b", null, bus.Name),
        Table.Cell(Figures.Count(bus.Frames)),
        Table.Cell(Figures.Count(bus.Identifiers)),
        Table.Cell(Figures.Count(bus.ErrorFrames)),
        Table.Cell(bus.LoadMean is null ? null : Figures.PerCent(bus.LoadMean)),
        Table.Cell(bus.LoadPeak is null ? null : Figures.PerCent(bus.LoadPeak)),
        Table.Cell(Figures.Count(bus.Silences)),
        Table.Cell(bus.LongestSilence?.ToString()),
    ];
}
