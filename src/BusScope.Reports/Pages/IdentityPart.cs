using System.Globalization;
using BusScope.Frames;
using BusScope.Health;
using BusScope.Reports.Layout;

namespace BusScope.Reports.Pages;

/// <summary>By what everything that was checked can be known again: files with their hashes, times, the program.</summary>
internal sealed class IdentityPart(Markup page, PageSubject subject, HealthReport report)
{
    // Clocks of recorders that were never set begin near the epoch or at zero; such times are no dates.
    private static readonly FrameTime EarliestDate = new(new DateTimeOffset(2000, 1, 1, 0, 0, 0, TimeSpan.Zero).ToUnixTimeMilliseconds() * FrameSpan.NanosecondsPerMillisecond);

    /// <summary>Writes the part.</summary>
    public void Write()
    {
        page.Element("section", "identity", () =>
        {
            page.Element("h2", null, "What was checked, and with what");
            page.Element("dl", null, () =>
            {
                Fact("Source", subject.Run.Source);
                Fact("Recorded", Recorded());
                Fact("Definitions", subject.Run is { Title: { } title, Definitions: { } named } ? $"{named} ({title})" : subject.Run.Definitions);
                Fact("Program", subject.Program);
                Fact("Report made", Moment(subject.Generated));
            });
            if (subject.Files.Count > 0)
            {
                new Table(page, "files", "file", ">bytes", "changed", "SHA-256").Write(subject.Files.Select(RowOf));
            }
        });
        page.Line();
    }

    /// <summary>A moment of the calendar, to the second, with its distance from UTC.</summary>
    public static string Moment(DateTimeOffset moment) => moment.ToString("yyyy-MM-dd HH:mm:ss zzz", CultureInfo.InvariantCulture);

    private void Fact(string name, string? text)
    {
        if (text is not null)
        {
            page.Element("div", null, () =>
            {
                page.Element("dt", null, name);
                page.Element("dd", null, text);
            });
        }
    }

    private static IReadOnlyList<Action<Markup>?> RowOf(FileIdentity file) =>
    [
        page =>
        {
            page.Element("b", null, file.Name);
            page.Element("span", "aside", file.Role);
        },
        Table.Cell(file.Length is { } length ? Figures.Count(length) : null),
        Table.Cell(file.Changed is { } changed ? Moment(changed) : null),
        page => page.Element("span", file.Sha256 is null ? "aside" : "hash", file.Sha256 ?? file.Remark ?? "not known"),
    ];

    private string? Recorded()
    {
        if (report.First is not { } first || report.Now is not { } now)
        {
            return null;
        }

        if (first < EarliestDate)
        {
            return $"the recorder's clock was not set; its times run from {Seconds(first)} s to {Seconds(now)} s";
        }

        return $"{Date(first)} to {Date(now)} UTC by the recorder's clock";
    }

    private static string Seconds(FrameTime time) => new FrameSpan(time.Nanoseconds).Seconds.ToString("0.000", CultureInfo.InvariantCulture);

    private static string Date(FrameTime time) =>
        DateTimeOffset.FromUnixTimeMilliseconds(time.Nanoseconds / FrameSpan.NanosecondsPerMillisecond).ToString("yyyy-MM-dd HH:mm:ss.fff", CultureInfo.InvariantCulture);
}
