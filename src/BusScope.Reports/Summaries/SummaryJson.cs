using System.Text.Json;
using BusScope.Health;
using BusScope.Reports.Layout;

namespace BusScope.Reports.Summaries;

/// <summary>What a capture holds, for machines (docs/command-line.md, the contract of <c>summary --format json</c>).</summary>
public static class SummaryJson
{
    /// <summary>Writes the summary as one JSON object in UTF-8 and a line end.</summary>
    public static void Write(Stream output, RunSubject subject, HealthReport report)
    {
        ArgumentNullException.ThrowIfNull(output);
        ArgumentNullException.ThrowIfNull(subject);
        ArgumentNullException.ThrowIfNull(report);
        using (var json = new Utf8JsonWriter(output, JsonFigures.Options))
        {
            json.WriteStartObject();
            json.WriteString("source", subject.Source);
            json.WriteNumber("frames", report.Frames);
            json.WriteSeconds("duration_s", report.Now - report.First);
            json.WriteString("start_s", report.First?.ToString());
            json.WriteString("failure", subject.Failure);
            WriteBuses(json, report);
            WriteIds(json, report);
            ProblemList.Write(json, subject.Problems);
            json.WriteEndObject();
        }

        output.WriteByte((byte)'\n');
    }

    private static void WriteBuses(Utf8JsonWriter json, HealthReport report)
    {
        json.WriteStartArray("buses");
        foreach (var bus in report.Buses)
        {
            json.WriteStartObject();
            json.WriteString("name", bus.Name);
            json.WriteNumber("frames", bus.Frames);
            json.WriteNumber("ids", bus.Identifiers);
            json.WriteNumber("error_frames", bus.ErrorFrames);
            json.WriteFigure("load_mean_pct", bus.LoadMean);
            json.WriteFigure("load_peak_pct", bus.LoadPeak);
            json.WriteEndObject();
        }

        json.WriteEndArray();
    }

    private static void WriteIds(Utf8JsonWriter json, HealthReport report)
    {
        json.WriteStartArray("ids");
        foreach (var message in report.Messages)
        {
            json.WriteStartObject();
            json.WriteString("bus", message.Bus);
            json.WriteId(message.Id);
            json.WriteNumber("frames", message.Frames);
            json.WriteFigure("length", message.Frames == 0 ? null : message.Payload.Length);
            json.WriteStartObject("period_ms");
            json.WriteMilliseconds("median", message.Period.Median);
            json.WriteMilliseconds("p05", message.Period.P05);
            json.WriteMilliseconds("p95", message.Period.P95);
            json.WriteMilliseconds("max", message.Period.Longest);
            json.WriteEndObject();
            json.WriteSeconds("first_s", message.First - report.First);
            json.WriteSeconds("last_s", message.Last - report.First);
            json.WriteEndObject();
        }

        json.WriteEndArray();
    }
}
