using System.Globalization;
using BusScope.Frames;
using BusScope.Frames.Diagnostics;
using BusScope.Signals.Definitions;

namespace BusScope.Analysis.Learning;

/// <summary>
/// Writes a baseline as a definition file that a person can read and go on with: expectations as keys, what they were measured
/// from as comments. Signals are not claimed: a capture does not say what a bit means.
/// </summary>
public sealed class BaselineText
{
    private readonly TextWriter writer;

    private BaselineText(TextWriter writer) => this.writer = writer;

    /// <summary>Writes the file.</summary>
    public static void Write(Baseline baseline, TextWriter writer)
    {
        var text = new BaselineText(writer);
        text.WriteHead(baseline);
        text.WriteBuses(baseline);
        writer.WriteLine("messages:");
        foreach (var message in baseline.Messages)
        {
            text.WriteMessage(message);
        }
    }

    /// <summary>The name that a learned message gets: its bus and its identifier.</summary>
    public static string NameOf(LearnedMessage message) => $"{Plain(message.Bus)}_{message.Id.ToString()[2..]}";

    private static string ListenersOf(string bus) => $"{Plain(bus)}-listeners";

    private void WriteHead(Baseline baseline)
    {
        writer.WriteLine(Invariant($"# Learned from {baseline.Frames:N0} frames in {baseline.Duration}:"));
        foreach (var source in baseline.Sources)
        {
            writer.WriteLine($"#   {CleanText.Clean(source)}");
        }

        writer.WriteLine("# A healthy car in these captures is all it knows. Read it, give names to what you know, take out what does not matter,");
        writer.WriteLine("# and put under needed-by which modules live on a message. Signals are for you to add.");
        writer.WriteLine("busscope: 1");
        writer.WriteLine("title: Learned baseline");
    }

    private void WriteBuses(Baseline baseline)
    {
        var buses = baseline.Messages.Select(m => m.Bus).Distinct().ToList();
        writer.WriteLine("buses:");
        foreach (var bus in buses)
        {
            writer.WriteLine(baseline.BitRates.TryGetValue(bus, out var rate)
                ? Invariant($"  {Quoted(bus)}: {{ bitrate: {rate} bit/s }}")
                : $"  {Quoted(bus)}: {{}}   # bit rate not known");
        }

        writer.WriteLine("modules:");
        foreach (var bus in buses)
        {
            writer.WriteLine($"  {ListenersOf(bus)}: {{ title: {Quoted("Whoever listens on " + bus)} }}");
        }
    }

    private void WriteMessage(LearnedMessage message)
    {
        writer.WriteLine($"  {NameOf(message)}:");
        writer.WriteLine($"    id: {message.Id}");
        if (message.Id.IsExtended)
        {
            writer.WriteLine("    extended: true");
        }

        writer.WriteLine($"    bus: {Quoted(message.Bus)}");
        writer.WriteLine($"    needed-by: [{ListenersOf(message.Bus)}]");
        writer.WriteLine(message.LengthVaries
            ? Invariant($"    # length varies; mostly {message.Length}")
            : Invariant($"    length: {message.Length}"));
        WriteTiming(message);
        if (message.Counter is { } counter)
        {
            writer.WriteLine(Invariant($"    counter: {{ {CounterKeys(counter.Definition)} }}   # {counter.Matches} of {counter.Pairs} pairs of frames"));
        }

        foreach (var further in message.FurtherCounters)
        {
            writer.WriteLine($"    # counts as well: {CounterKeys(further.Definition)}");
        }

        WriteChecksum(message);
        if (message.Length > 0)
        {
            writer.WriteLine($"    # bits that changed: {string.Join(' ', message.ChangedBits.ToArray().Select(b => b.ToString("X2", CultureInfo.InvariantCulture)))}");
        }
    }

    private void WriteTiming(LearnedMessage message)
    {
        var evidence = message.Measured is { } m
            ? Invariant($"median {m.Median}, 90 % of the gaps {m.P05} to {m.P95}, longest {m.Longest}, {message.Frames} frames")
            : Invariant($"{message.Frames} frame");
        if (message.Period is not { } period)
        {
            writer.WriteLine($"    on-change: true   # {evidence}");
            return;
        }

        writer.WriteLine($"    every: {Duration(period)}   # {evidence}");
        if (message.Kind == SendingKind.Mixed)
        {
            writer.WriteLine("    on-change: true   # and in between");
        }

        if (ExpectedTiming.Widened(period, message.Measured) is { } widened)
        {
            writer.WriteLine($"    late-after: {Duration(widened.LateAfter)}");
            writer.WriteLine($"    stale-after: {Duration(widened.StaleAfter)}");
        }
    }

    private void WriteChecksum(LearnedMessage message)
    {
        switch (message.Checksum)
        {
            case { Definition: { } checksum } found:
                writer.WriteLine(Invariant($"    checksum: {{ {ChecksumKeys(checksum)} }}   # {found.Matches} of {found.Payloads} payloads; chance of a wrong claim 1 in 2^{found.EvidenceBits:0}"));
                break;
            case { Suspect: { } suspect }:
                writer.WriteLine($"    # byte {suspect.FirstByte} is protection of a form that could not be identified");
                break;
        }
    }

    private static string CounterKeys(CounterDefinition counter)
    {
        var keys = FieldKeys(counter.Field);
        keys += counter.Step == 1 ? "" : Invariant($", step: {counter.Step}");
        return keys + (counter.Modulo == 1 << counter.Field.Length ? "" : Invariant($", modulo: {counter.Modulo}"));
    }

    private static string ChecksumKeys(ChecksumDefinition checksum)
    {
        var keys = FieldKeys(checksum.Field) + ", " + ChecksumNames.Keys(checksum);
        keys += $", over: {Over(checksum.Over)}";
        if (checksum.DataIds.Count == 1)
        {
            keys += $", data-id: {Hex(checksum.DataIds[0], checksum.DataIdBytes)}";
        }
        else if (checksum.DataIds.Count > 1)
        {
            keys += $", data-ids: [{string.Join(", ", checksum.DataIds.Select(id => Hex(id, checksum.DataIdBytes)))}]";
        }

        keys += checksum.DataIdBytes == 1 ? "" : Invariant($", data-id-bytes: {checksum.DataIdBytes}");
        return keys + (checksum.DataIdFirst ? ", data-id-first: true" : "");
    }

    private static string FieldKeys(BitField field)
    {
        if (field.FirstByte == field.LastByte)
        {
            var low = field.LeastSignificant.Bit;
            return field.Length == 8 ? Invariant($"byte: {field.FirstByte}") : Invariant($"byte: {field.FirstByte}, bits: {low}..{low + field.Length - 1}");
        }

        return field.Order == ByteOrder.Big
            ? Invariant($"msb: {field.Start}, length: {field.Length}, order: big")
            : Invariant($"lsb: {field.Start}, length: {field.Length}, order: little");
    }

    private static string Over(IReadOnlyList<ByteRange> ranges)
    {
        var texts = ranges.Select(r => r.From == r.To ? Invariant($"{r.From}") : Invariant($"{r.From}..{r.To}")).ToList();
        return texts.Count == 1 ? texts[0] : $"[{string.Join(", ", texts)}]";
    }

    internal static string Hex(ulong value, int bytes) => "0x" + value.ToString($"X{2 * bytes}", CultureInfo.InvariantCulture);

    private static string Duration(FrameSpan span) => span.Nanoseconds % FrameSpan.NanosecondsPerSecond == 0
        ? Invariant($"{span.Seconds} s")
        : Invariant($"{span.Milliseconds} ms");

    private static string Plain(string name) => string.Concat(name.Select(c => char.IsAsciiLetterOrDigit(c) || c is '-' ? c : '_'));

    private static string Quoted(string text) => "\"" + CleanText.Clean(text).Replace("\\", "\\\\", StringComparison.Ordinal).Replace("\"", "\\\"", StringComparison.Ordinal) + "\"";

    private static string Invariant(FormattableString text) => FormattableString.Invariant(text);
}
