using System.Text.Json;
using BusScope.Health;

namespace BusScope.Reports.Against;

/// <summary>Reads back what <c>check --format json</c> wrote, of this version or an earlier one.</summary>
public static class EarlierCheckReader
{
    private const int MostDepth = 16;

    /// <summary>Reads a result. What it lacks beside its verdict, modules and findings is not missed; what it has beside is passed over.</summary>
    /// <param name="input">The bytes, UTF-8.</param>
    /// <param name="name">What a person calls the file.</param>
    /// <exception cref="FormatException">It is no such result; the message says why, in one sentence that names the file.</exception>
    public static EarlierCheck Read(Stream input, string name)
    {
        ArgumentNullException.ThrowIfNull(input);
        using var document = Parse(Bounded(input, name), name);
        var root = document.RootElement;
        if (root.ValueKind != JsonValueKind.Object || !root.TryGetProperty("verdict", out var verdict) || !root.TryGetProperty("modules", out _) || !root.TryGetProperty("findings", out _))
        {
            throw No(name, root.ValueKind == JsonValueKind.Object && root.TryGetProperty("ids", out _) ? "it is a summary" : "it has no verdict, modules and findings");
        }

        return new EarlierCheck(name, VerdictOf(verdict, name))
        {
            Source = Text(root, "source", name),
            Definitions = Text(root, "definitions", name),
            Seconds = Number(root, "duration_s"),
            Modules = [.. List(root, "modules", name).Select(module => Module(module, name))],
            Messages = root.TryGetProperty("messages", out _) ? [.. List(root, "messages", name).Select(message => Message(message, name))] : null,
            Findings = [.. List(root, "findings", name).Select(finding => Finding(finding, name))],
        };
    }

    private static JsonDocument Parse(ReadOnlyMemory<byte> bytes, string name)
    {
        try
        {
            // A byte order mark, which an editor may have put in front, is no part of the document.
            var text = bytes.Span.StartsWith("\uFEFF"u8) ? bytes[3..] : bytes;
            return JsonDocument.Parse(text, new JsonDocumentOptions { MaxDepth = MostDepth });
        }
        catch (JsonException e)
        {
            throw new FormatException($"{name}: is no result of 'check --format json': it is not JSON (line {e.LineNumber + 1}, byte {e.BytePositionInLine + 1})", e);
        }
    }

    private static ReadOnlyMemory<byte> Bounded(Stream input, string name)
    {
        using var kept = new MemoryStream();
        var buffer = new byte[64 << 10];
        int count;
        while ((count = input.Read(buffer)) > 0)
        {
            kept.Write(buffer, 0, count);
            if (kept.Length > EarlierCheck.LargestFile)
            {
                throw No(name, $"it has more than {EarlierCheck.LargestFile >> 20} MB");
            }
        }

        return kept.Length == 0 ? throw No(name, "it is empty") : kept.ToArray();
    }

    private static EarlierModule Module(JsonElement module, string name)
    {
        var called = Text(module, "name", name) ?? throw No(name, "a module has no name");
        return new EarlierModule(called, Text(module, "title", name) ?? called, VerdictOf(Property(module, "verdict"), name));
    }

    private static EarlierMessage Message(JsonElement message, string name) => new(
        Text(message, "name", name) ?? throw No(name, "a message has no name"),
        Number(message, "expected_ms"),
        Property(message, "counter").ValueKind == JsonValueKind.Object,
        Property(message, "checksum").ValueKind == JsonValueKind.Object);

    private static EarlierFinding Finding(JsonElement finding, string name)
    {
        var code = Text(finding, "code", name) ?? throw No(name, "a finding has no code");
        var modules = finding.TryGetProperty("modules", out var list) && list.ValueKind == JsonValueKind.Array
            ? list.EnumerateArray().Where(each => each.ValueKind == JsonValueKind.String).Select(each => each.GetString()!).ToList()
            : [];
        return new EarlierFinding(
            FindingSubject.Of(code, Text(finding, "bus", name), Text(finding, "message", name), Text(finding, "signal", name), modules),
            SeverityOf(Text(finding, "severity", name), name),
            Text(finding, "text", name) ?? code,
            (long?)Number(finding, "count"));
    }

    private static Verdict VerdictOf(JsonElement element, string name)
    {
        var word = element.ValueKind == JsonValueKind.String ? element.GetString() : null;
        foreach (var verdict in Enum.GetValues<Verdict>())
        {
            if (Words.Of(verdict) == word)
            {
                return verdict;
            }
        }

        throw No(name, "a verdict is none of go, no-go and inconclusive");
    }

    private static FindingSeverity SeverityOf(string? word, string name)
    {
        foreach (var severity in Enum.GetValues<FindingSeverity>())
        {
            if (Words.Of(severity) == word)
            {
                return severity;
            }
        }

        throw No(name, "a severity is none of fault, warning and note");
    }

    private static List<JsonElement> List(JsonElement element, string property, string name)
    {
        var list = Property(element, property);
        return list.ValueKind == JsonValueKind.Array && list.EnumerateArray().All(each => each.ValueKind == JsonValueKind.Object)
            ? [.. list.EnumerateArray()]
            : throw No(name, $"its {property} are no list of objects");
    }

    private static string? Text(JsonElement element, string property, string name) => Property(element, property) switch
    {
        { ValueKind: JsonValueKind.String } text => text.GetString(),
        { ValueKind: JsonValueKind.Undefined or JsonValueKind.Null } => null,
        _ => throw No(name, $"'{property}' is no text"),
    };

    private static double? Number(JsonElement element, string property) =>
        Property(element, property) is { ValueKind: JsonValueKind.Number } number && number.TryGetDouble(out var value) ? value : null;

    private static JsonElement Property(JsonElement element, string property) => element.TryGetProperty(property, out var value) ? value : default;

    private static FormatException No(string name, string reason) => new($"{name}: is no result of 'check --format json': {reason}");
}
