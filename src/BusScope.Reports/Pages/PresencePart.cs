using System.Globalization;
using BusScope.Frames;
using BusScope.Health;
using BusScope.Reports.Layout;
using BusScope.Reports.Pages.Plots;

namespace BusScope.Reports.Pages;

/// <summary>When each message was there: one line each, bus by bus, over the whole time of the check.</summary>
internal sealed class PresencePart(Markup page, HealthReport report)
{
    // Some hundreds fit a few printed pages. What is defined comes first.
    private const int MostRows = 400;
    private const int MostTicks = 6;

    /// <summary>Writes the part; nothing without a history.</summary>
    public void Write()
    {
        if (report.First is not { } first || report.Now is not { } now || now <= first || report.Messages.All(message => message.History is null))
        {
            return;
        }

        var strip = new PresenceStrip(first, now);
        var drawn = report.Messages.Take(MostRows).ToList();
        page.Element("section", "presence", () =>
        {
            page.Element("h2", null, "Presence of all messages over time");
            page.Element("p", "lead", Legend);
            foreach (var bus in drawn.GroupBy(message => message.Bus))
            {
                Write(bus.Key, [.. bus], strip, now - first);
            }

            if (report.Messages.Count > MostRows)
            {
                page.Element("p", null, $"{Figures.Count(report.Messages.Count - MostRows)} further identifiers are not drawn.");
            }
        });
        page.Line();
    }

    private void Legend()
    {
        page.Raw(PresenceStrip.Sample("on"));
        page.Text("frames came ");
        page.Raw(PresenceStrip.Sample("off"));
        page.Text("expected, and silent for longer than its stale time ");
        page.Raw(PresenceStrip.Sample("other"));
        page.Text("frames of an identifier that no definition claims");
    }

    private void Write(string bus, IReadOnlyList<MessageHealth> messages, PresenceStrip strip, FrameSpan length)
    {
        var own = report.Buses.FirstOrDefault(each => each.Name == bus);
        page.Element("table", "strips", () =>
        {
            page.Element("thead", null, () => page.Element("tr", null, () =>
            {
                page.Element("th", "name", () => page.Text($"bus {bus}"), ("scope", "col"));
                page.Element("th", "lane", () => Axis(length), ("scope", "col"));
            }));
            page.Element("tbody", null, () =>
            {
                foreach (var message in messages)
                {
                    page.Element("tr", message.Worst is FindingSeverity.Fault ? "fault" : null, () =>
                    {
                        page.Element("th", "name", () =>
                        {
                            page.Element("span", message.Definition is null ? "aside" : null, message.Name());
                            if (message is { Definition: not null, Id: { } id })
                            {
                                page.Element("span", "aside", id.ToString());
                            }
                        }, ("scope", "row"));
                        page.Element("td", "lane", () => page.Raw(strip.Of(message, own)));
                    });
                    page.Line();
                }
            });
        });
    }

    // Labels of the axis are text of the page, placed by per cent: they keep their size when the lanes are squeezed.
    private void Axis(FrameSpan length)
    {
        page.Element("div", "axis", () =>
        {
            foreach (var at in RoundSteps.Over(length.Seconds, MostTicks))
            {
                var share = (100 * at / length.Seconds).ToString("0.##", CultureInfo.InvariantCulture);
                page.Element("span", null, () => page.Text(at.ToString("0.######", CultureInfo.InvariantCulture) + (at == 0 ? " s" : "")), ("style", $"left:{share}%"));
            }
        });
    }
}
