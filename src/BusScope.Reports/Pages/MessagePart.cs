using System.Globalization;
using BusScope.Frames;
using BusScope.Health;
using BusScope.Reports.Layout;

namespace BusScope.Reports.Pages;

/// <summary>Every defined message in figures.</summary>
internal sealed class MessagePart(Markup page, HealthReport report)
{
    // A definition set may hold thousands: a page to be printed need not.
    private const int MostRows = 600;

    /// <summary>Writes the part; nothing where nothing is defined.</summary>
    public void Write()
    {
        var defined = report.Messages.Where(message => message.Definition is not null).ToList();
        if (defined.Count == 0)
        {
            return;
        }

        page.Element("section", null, () =>
        {
            page.Element("h2", null, "Messages in figures");
            page.Element("p", "lead", "Periods and gaps in milliseconds: as defined, as they were in the median, between which bounds nine out of ten lay, and the longest.");
            new Table(page, "messages", "message", "bus", "identifier", "state", ">frames", ">every", ">median", ">5 % to 95 %", ">longest")
                .Write(defined.Take(MostRows).Select(RowOf));
            if (defined.Count > MostRows)
            {
                page.Element("p", null, $"{Figures.Count(defined.Count - MostRows)} further messages are not shown; the machine-readable result has them all.");
            }
        });
        page.Line();
    }

    private static IReadOnlyList<Action<Markup>?> RowOf(MessageHealth message) =>
    [
        cell => cell.Element("b", null, message.Name()),
        Table.Cell(message.Bus),
        Table.Cell(message.Id?.ToString()),
        message.State is { } state ? cell => cell.Element("span", $"state {Words.Of(state)}", Words.Of(state)) : null,
        Table.Cell(Figures.Count(message.Frames)),
        Table.Cell(Milliseconds(message.Definition!.Timing.Every)),
        Table.Cell(Milliseconds(message.Period.Median)),
        message.Period is { P05: { } low, P95: { } high } ? Table.Cell($"{Milliseconds(low)} to {Milliseconds(high)}") : null,
        Table.Cell(Milliseconds(message.Period.Longest)),
    ];

    private static string? Milliseconds(FrameSpan? span) =>
        span is not { } known ? null : known.Milliseconds.ToString(known.Milliseconds < 1000 ? "0.0" : "0", CultureInfo.InvariantCulture);
}
