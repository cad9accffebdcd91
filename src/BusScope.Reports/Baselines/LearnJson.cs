using System.Text.Json;
using BusScope.Analysis.Learning;
using BusScope.Analysis.Learning.Checksums;
using BusScope.Analysis.Learning.Counters;
using BusScope.Analysis.Learning.Timing;
using BusScope.Analysis.Learning.Writing;
using BusScope.Reports.Layout;
using BusScope.Signals.Definitions;

namespace BusScope.Reports.Baselines;

/// <summary>What was learned, for machines (docs/command-line.md, the contract of <c>learn --format json</c>).</summary>
public static class LearnJson
{
    /// <summary>Writes what was learned as one JSON object in UTF-8 and a line end.</summary>
    /// <param name="output">Where to.</param>
    /// <param name="file">The definition file that was written.</param>
    /// <param name="baseline">What was learned.</param>
    /// <param name="merge">What became of the file that was there, or null where none was.</param>
    /// <param name="subjects">The captures and what was wrong with them.</param>
    public static void Write(Stream output, string file, Baseline baseline, BaselineMergeResult? merge, IReadOnlyList<RunSubject> subjects)
    {
        ArgumentNullException.ThrowIfNull(output);
        ArgumentNullException.ThrowIfNull(baseline);
        ArgumentNullException.ThrowIfNull(subjects);
        using (var json = new Utf8JsonWriter(output, JsonFigures.Options))
        {
            json.WriteStartObject();
            json.WriteString("file", file);
            json.WriteNumber("frames", baseline.Frames);
            json.WriteNumber("duration_s", baseline.Duration.Seconds);
            if (baseline.Missing is { } missing)
            {
                json.WriteNumber("missing_share", Math.Round(missing.Share, 3));
            }

            json.WriteStartArray("messages");
            foreach (var message in baseline.Messages)
            {
                Message(json, message);
            }

            json.WriteEndArray();
            Differences(json, merge);
            Sources(json, subjects);
            json.WriteEndObject();
        }

        output.WriteByte((byte)'\n');
    }

    private static void Message(Utf8JsonWriter json, LearnedMessage message)
    {
        json.WriteStartObject();
        json.WriteString("bus", message.Bus);
        json.WriteId(message.Id);
        json.WriteNumber("length", message.Length);
        json.WriteNumber("other_lengths", message.OtherLengths);
        json.WriteString("kind", message.Timing.Kind switch { SendingKind.Periodic => "periodic", SendingKind.Mixed => "mixed", _ => "event" });
        json.WriteMilliseconds("period_ms", message.Timing.Period);
        json.WriteMilliseconds("median_ms", message.Timing.Measured?.Median);
        json.WriteNumber("frames_per_period", message.Timing.Group);
        json.WriteNumber("frames", message.Frames);
        json.WriteBoolean("expected", message.IsExpected);
        While(json, message);
        json.WritePropertyName("counter");
        Counter(json, message.Counter, isFurther: false);
        json.WriteStartArray("further_counters");
        foreach (var counter in message.FurtherCounters)
        {
            Counter(json, counter, isFurther: true);
        }

        json.WriteEndArray();
        Checksum(json, message.Checksum);
        json.WriteStartArray("checksum_rivals");
        foreach (var rival in message.Checksum?.Rivals ?? [])
        {
            json.WriteStartObject();
            Form(json, rival);
            json.WriteEndObject();
        }

        json.WriteEndArray();
        json.WriteBoolean("protection_not_identified", message.Checksum is { Definition: null, Suspect: not null });
        json.WritePropertyName("selector");
        if (message.Selector is { } selector)
        {
            json.WriteStartObject();
            Field(json, selector.Field);
            json.WriteStartArray("values");
            foreach (var value in selector.Values)
            {
                json.WriteNumberValue(value);
            }

            json.WriteEndArray();
            json.WriteEndObject();
        }
        else
        {
            json.WriteNullValue();
        }

        json.WriteString("changed_bits", Convert.ToHexString(message.ChangedBits.Span));
        json.WriteString("lives", Convert.ToHexString(message.Lives.Span));
        json.WriteString("constant", message.Constant?.ToString());
        json.WriteEndObject();
    }

    private static void While(Utf8JsonWriter json, LearnedMessage message)
    {
        json.WriteStartArray("while");
        foreach (var bit in message.Condition?.Bits ?? [])
        {
            json.WriteStartObject();
            json.WriteString("bus", bit.Bus);
            json.WriteId(bit.Id);
            json.WriteString("bit", $"{bit.Byte}.{bit.Bit}");
            json.WriteNumber("is", bit.IsSet ? 1 : 0);
            json.WriteEndObject();
        }

        json.WriteEndArray();
    }

    private static void Counter(Utf8JsonWriter json, FoundCounter? counter, bool isFurther)
    {
        if (counter is not { Definition: { } definition })
        {
            json.WriteNullValue();
            return;
        }

        json.WriteStartObject();
        Field(json, definition.Field);
        json.WriteNumber("modulo", definition.Modulo);
        json.WriteNumber("step", definition.Step);
        json.WriteBoolean("reversed", counter.IsReversed);
        json.WriteNumber("matches", counter.Matches);
        json.WriteNumber("pairs", counter.Pairs);
        json.WriteBoolean("demanded", counter.IsDemanded && !isFurther);
        json.WriteEndObject();
    }

    private static void Checksum(Utf8JsonWriter json, FoundChecksum? found)
    {
        if (found?.Definition is not { } checksum)
        {
            json.WriteNull("checksum");
            return;
        }

        json.WriteStartObject("checksum");
        Form(json, checksum);
        json.WriteNumber("matches", found.Matches);
        json.WriteNumber("payloads", found.Payloads);
        json.WriteNumber("evidence_bits", Math.Round(found.EvidenceBits));
        json.WriteEndObject();
    }

    private static void Form(Utf8JsonWriter json, ChecksumDefinition checksum)
    {
        json.WriteNumber("byte", checksum.Field.FirstByte);
        Field(json, checksum.Field);
        json.WriteString("algorithm", ChecksumNames.Find(checksum) ?? ChecksumNames.Plain(checksum));
        json.WriteFigure("polynomial", (long?)checksum.Crc?.Polynomial);
        json.WriteNumber("start", checksum.Crc?.Start ?? checksum.Start);
        json.WriteNumber("final", checksum.Crc?.Final ?? checksum.Final);
        json.WriteBoolean("reflected", checksum.Crc?.Reflected ?? false);
        json.WriteString("over", string.Join(", ", checksum.Over.Select(range => range.From == range.To ? $"{range.From}" : $"{range.From}..{range.To}")));
        json.WriteStartArray("data_ids");
        foreach (var id in checksum.DataIds)
        {
            json.WriteNumberValue(id);
        }

        json.WriteEndArray();
        json.WriteBoolean("data_id_first", checksum.DataIdFirst);
    }

    private static void Field(Utf8JsonWriter json, BitField field)
    {
        json.WriteString("lsb", field.LeastSignificant.ToString());
        json.WriteNumber("length", field.Length);
        json.WriteString("order", field.Order == ByteOrder.Big ? "big" : "little");
    }

    private static void Differences(Utf8JsonWriter json, BaselineMergeResult? merge)
    {
        json.WriteBoolean("merged", merge is not null);
        json.WriteStartArray("differences");
        foreach (var difference in merge?.Differences ?? [])
        {
            json.WriteStartObject();
            json.WriteString("message", difference.Message);
            json.WriteString("key", difference.Key);
            json.WriteString("file", difference.InFile);
            json.WriteString("measured", difference.Measured);
            json.WriteEndObject();
        }

        json.WriteEndArray();
    }

    private static void Sources(Utf8JsonWriter json, IReadOnlyList<RunSubject> subjects)
    {
        json.WriteStartArray("sources");
        foreach (var subject in subjects)
        {
            json.WriteStartObject();
            json.WriteString("source", subject.Source);
            json.WriteString("failure", subject.Failure);
            ProblemList.Write(json, subject.Problems);
            json.WriteEndObject();
        }

        json.WriteEndArray();
    }
}
