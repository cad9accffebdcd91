using System.Text.Json;
using BusScope.Health;
using BusScope.Reports.Against;
using BusScope.Reports.Layout;

namespace BusScope.Reports.Checks;

/// <summary>The verdict for machines (docs/command-line.md, the contract of <c>check --format json</c>).</summary>
public static class CheckJson
{
    /// <summary>Writes the report as one JSON object in UTF-8 and a line end.</summary>
    /// <param name="output">Where to.</param>
    /// <param name="subject">What was checked.</param>
    /// <param name="report">What was found.</param>
    /// <param name="change">What changed since an earlier check, or null.</param>
    public static void Write(Stream output, RunSubject subject, HealthReport report, CheckChange? change = null)
    {
        ArgumentNullException.ThrowIfNull(output);
        ArgumentNullException.ThrowIfNull(subject);
        ArgumentNullException.ThrowIfNull(report);
        using (var json = new Utf8JsonWriter(output, JsonFigures.Options))
        {
            json.WriteStartObject();
            json.WriteString("verdict", Words.Of(report.Verdict));
            json.WriteString("source", subject.Source);
            json.WriteString("definitions", subject.Definitions);
            json.WriteString("title", subject.Title);
            json.WriteNumber("frames", report.Frames);
            json.WriteSeconds("duration_s", report.Now - report.First);
            json.WriteString("failure", subject.Failure);
            json.WriteString("reason", VerdictReason.Of(report, subject));
            WriteJudged(json, report.Judged);
            WriteModules(json, report);
            WriteMessages(json, report);
            WriteFindings(json, report);
            WriteBuses(json, report);
            ProblemList.Write(json, subject.Problems);
            ChangeJson.Write(json, change);
            json.WriteEndObject();
        }

        output.WriteByte((byte)'\n');
    }

    private static void WriteJudged(Utf8JsonWriter json, JudgedMessages judged)
    {
        json.WriteStartObject("judged");
        json.WriteNumber("messages", judged.Defined);
        json.WriteNumber("by_time", judged.ByTime);
        json.WriteNumber("by_content", judged.ByContent);
        json.WriteNumber("by_neither", judged.ByNeither);
        json.WriteEndObject();
    }

    private static void WriteModules(Utf8JsonWriter json, HealthReport report)
    {
        json.WriteStartArray("modules");
        foreach (var module in report.Modules)
        {
            json.WriteStartObject();
            json.WriteString("name", module.Definition.Name);
            json.WriteString("title", module.Definition.Title);
            json.WriteString("verdict", Words.Of(module.Verdict));
            foreach (var state in Enum.GetValues<MessageState>())
            {
                json.WriteNumber(Words.Of(state), module.In(state));
            }

            json.WriteString("alive", module.Alive is { } alive ? Words.Of(alive) : null);
            json.WriteString("worst", module.Worst is { } worst ? report.Messages[worst].Name() : null);
            json.WriteEndObject();
        }

        json.WriteEndArray();
    }

    // What no definition claims is no message: it stands in a list of its own.
    private static void WriteMessages(Utf8JsonWriter json, HealthReport report)
    {
        json.WriteStartArray("messages");
        foreach (var message in report.Messages)
        {
            if (message.Definition is { } definition)
            {
                WriteMessage(json, message, definition);
            }
        }

        json.WriteEndArray();
        json.WriteStartArray("unknown");
        foreach (var message in report.Messages)
        {
            if (message.Definition is null)
            {
                json.WriteStartObject();
                json.WriteString("bus", message.Bus);
                json.WriteId(message.Id);
                json.WriteNumber("frames", message.Frames);
                json.WriteMilliseconds("median_ms", message.Period.Median);
                json.WriteEndObject();
            }
        }

        json.WriteEndArray();
    }

    private static void WriteMessage(Utf8JsonWriter json, MessageHealth message, Signals.Definitions.MessageDefinition definition)
    {
        json.WriteStartObject();
        json.WriteString("bus", message.Bus);
        json.WriteId(message.Id);
        json.WriteString("name", definition.Name);
        json.WriteString("state", message.State is { } state ? Words.Of(state) : null);
        json.WriteBoolean("bus_silent", message.BusIsSilent);
        json.WriteNumber("frames", message.Frames);
        json.WriteMilliseconds("expected_ms", definition.Timing.Every);
        json.WriteMilliseconds("median_ms", message.Period.Median);
        json.WriteMilliseconds("longest_gap_ms", message.Period.Longest);
        if (definition.Counter is null)
        {
            json.WriteNull("counter");
        }
        else
        {
            json.WriteStartObject("counter");
            json.WriteNumber("repeated", message.CounterRepeated);
            json.WriteNumber("skipped", message.CounterSkipped);
            json.WriteEndObject();
        }

        if (definition.Checksum is null)
        {
            json.WriteNull("checksum");
        }
        else
        {
            json.WriteStartObject("checksum");
            json.WriteNumber("bad", message.ChecksumBad);
            json.WriteEndObject();
        }

        json.WriteNumber("wrong_length", message.WrongLength);
        json.WriteNumber("senders", message.Senders);
        json.WriteEndObject();
    }

    private static void WriteFindings(Utf8JsonWriter json, HealthReport report)
    {
        json.WriteStartArray("findings");
        foreach (var finding in report.Findings)
        {
            json.WriteStartObject();
            json.WriteString("code", finding.Code);
            json.WriteString("severity", Words.Of(finding.Severity));
            json.WriteString("bus", finding.Bus);
            json.WriteString("message", finding.Message);
            json.WriteString("signal", finding.Signal);
            json.WriteStartArray("modules");
            foreach (var module in finding.Modules)
            {
                json.WriteStringValue(module);
            }

            json.WriteEndArray();
            json.WriteSeconds("at_s", finding.At - report.First);
            json.WriteSeconds("until_s", finding.Until - report.First);
            json.WriteFigure("frame", finding.Frame);
            json.WriteFigure("until_frame", finding.UntilFrame);
            json.WriteNumber("count", finding.Count);
            json.WriteString("text", finding.Text);
            json.WriteEndObject();
        }

        json.WriteEndArray();
    }

    private static void WriteBuses(Utf8JsonWriter json, HealthReport report)
    {
        json.WriteStartArray("buses");
        foreach (var bus in report.Buses)
        {
            json.WriteStartObject();
            json.WriteString("name", bus.Name);
            json.WriteNumber("frames", bus.Frames);
            json.WriteNumber("error_frames", bus.ErrorFrames);
            json.WriteBoolean("silent", bus.IsSilent);
            json.WriteEndObject();
        }

        json.WriteEndArray();
    }
}
