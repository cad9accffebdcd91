using BusScope.Frames.Diagnostics;
using BusScope.Health;
using BusScope.Reports.Layout;

namespace BusScope.Reports.Summaries;

/// <summary>What a capture holds, for a person.</summary>
public static class SummaryText
{
    /// <summary>Writes the summary, at most 80 columns wide where names allow.</summary>
    public static void Write(TextWriter output, RunSubject subject, HealthReport report, Ink ink)
    {
        ArgumentNullException.ThrowIfNull(output);
        ArgumentNullException.ThrowIfNull(subject);
        ArgumentNullException.ThrowIfNull(report);
        ArgumentNullException.ThrowIfNull(ink);
        var duration = (report.Now - report.First)?.ToString() ?? "no time at all";
        Paragraph.Write(
            output,
            CleanText.Clean($"{subject.Source}: {Figures.Of(report.Frames, "frame")} in {duration} on {Figures.Of(report.Buses.Count, "bus", "buses")}{(subject.IsBrokenOff ? ", broken off" : "")}"),
            "",
            2);
        output.WriteLine();
        WriteBuses(output, report, ink);
        foreach (var bus in report.Buses)
        {
            WriteIdentifiers(output, report, bus, ink);
        }

        output.WriteLine(ink.Strong("Problems of the file"));
        if (subject.Problems.Count == 0)
        {
            output.WriteLine("  none");
        }

        ProblemList.Write(output, subject.Problems, 2);
    }

    private static void WriteBuses(TextWriter output, HealthReport report, Ink ink)
    {
        if (report.Buses.Count == 0)
        {
            return;
        }

        var table = new Columns("bus", ">frames", ">identifiers", ">error reports", ">load", ">busiest second");
        foreach (var bus in report.Buses)
        {
            table.Add(
                CleanText.Clean(bus.Name),
                Figures.Count(bus.Frames),
                Figures.Count(bus.Identifiers),
                Figures.Count(bus.ErrorFrames),
                Figures.PerCent(bus.LoadMean),
                Figures.PerCent(bus.LoadPeak));
        }

        table.Write(output, ink);
        if (report.Buses.Any(bus => bus.LoadMean is null && bus.Frames > 0))
        {
            output.WriteLine("No load without a bit rate: give one with --bitrate 500k or --bitrate NAME=500k.");
        }

        output.WriteLine();
    }

    private static void WriteIdentifiers(TextWriter output, HealthReport report, BusHealth bus, Ink ink)
    {
        var table = new Columns("id", ">frames", ">bytes", ">median ms", ">p05", ">p95", ">longest", ">first s", ">last s");
        foreach (var message in report.Messages.Where(message => message.Bus == bus.Name && message.Frames > 0))
        {
            table.Add(
                message.Name(),
                Figures.Count(message.Frames),
                Figures.Count(message.Payload.Length),
                Figures.Milliseconds(message.Period.Median),
                Figures.Milliseconds(message.Period.P05),
                Figures.Milliseconds(message.Period.P95),
                Figures.Milliseconds(message.Period.Longest),
                Figures.Seconds(message.First - report.First),
                Figures.Seconds(message.Last - report.First));
        }

        output.WriteLine(ink.Strong($"Bus {CleanText.Clean(bus.Name)}"));
        table.Write(output, ink);
        output.WriteLine();
    }
}
