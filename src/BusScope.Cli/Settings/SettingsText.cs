using YamlDotNet.Core;
using YamlDotNet.Core.Events;

namespace BusScope.Cli.Settings;

/// <summary>
/// Puts what is to be remembered into the text of a settings file. Comments, order, line ends and everything else stay as a person wrote
/// them; where nothing is to be changed, nothing is.
/// </summary>
internal static class SettingsText
{
    private const string Opening = "# What BusScope remembers (docs/settings.md). Comments that you add stay.\n";

    /// <summary>
    /// Whether the text is written in lines, each key beginning one, so that keys can be put in place of others. A mapping in brackets is
    /// not, nor one that is indented, nor one behind which the document is ended.
    /// </summary>
    public static bool IsInLines(string text)
    {
        var parser = new Parser(new StringReader(text));
        parser.Consume<StreamStart>();
        if (!parser.TryConsume<DocumentStart>(out _))
        {
            return true;
        }

        if (parser.Current is MappingStart mapping && (mapping.Style == MappingStyle.Flow || mapping.Start.Column != 1))
        {
            return false;
        }

        parser.SkipThisAndNestedEvents();
        return parser.TryConsume<DocumentEnd>(out var end) && end.IsImplicit;
    }

    /// <summary>The text with a value for a key.</summary>
    public static string With(string text, string key, string value)
    {
        var lines = Lines(text, out var lineEnd);
        if (Find(text, key) is not { } found)
        {
            lines.Add($"{key}: {Quoted(value)}");
        }
        else if (found.Entries is [var old] && old.Value != value)
        {
            var line = lines[old.Line];
            lines[old.Line] = line[..old.Start] + Quoted(value) + line[old.End..];
        }

        return Joined(lines, lineEnd);
    }

    /// <summary>The text with a list for a key. Entries that stay keep their line and the comments before and behind it.</summary>
    public static string With(string text, string key, IReadOnlyList<string> values)
    {
        var lines = Lines(text, out var lineEnd);
        var found = Find(text, key);
        if (found is null)
        {
            lines.AddRange(Block(key, values));
        }
        else if (!found.Entries.Select(entry => entry.Value).SequenceEqual(values))
        {
            var block = found.IsBracketed ? [.. Block(key, values)] : Kept(lines, found, key, values);
            lines.RemoveRange(found.First, found.Last - found.First + 1);
            lines.InsertRange(found.First, block);
        }

        return Joined(lines, lineEnd);
    }

    private static IEnumerable<string> Block(string key, IReadOnlyList<string> values) =>
        values.Count == 0 ? [$"{key}: []"] : [$"{key}:", .. values.Select(value => $"  - {Quoted(value)}")];

    // Each entry with the lines of comments above it; what stands above an entry that goes stays above the one that follows.
    private static List<string> Kept(List<string> lines, Setting setting, string key, IReadOnlyList<string> values)
    {
        var comment = lines[setting.First].IndexOf('#', StringComparison.Ordinal) is var at and >= 0 ? "  " + lines[setting.First][at..] : "";
        var block = new List<string> { values.Count == 0 ? $"{key}: []{comment}" : $"{key}:{comment}" };
        var known = new Dictionary<string, List<string>>(StringComparer.Ordinal);
        var above = new List<string>();
        for (var i = setting.First + 1; i <= setting.Last; i++)
        {
            above.Add(lines[i]);
            if (setting.Entries.FirstOrDefault(entry => entry.Line == i) is { Value: { } value })
            {
                if (values.Contains(value) && known.TryAdd(value, above))
                {
                    above = [];
                }
                else
                {
                    above.RemoveAt(above.Count - 1);
                }
            }
        }

        foreach (var value in values)
        {
            block.AddRange(known.Remove(value, out var written) ? written : [$"  - {Quoted(value)}"]);
        }

        block.AddRange(above);
        return block;
    }

    private static List<string> Lines(string text, out string lineEnd)
    {
        lineEnd = text.Contains("\r\n", StringComparison.Ordinal) ? "\r\n" : "\n";
        return [.. (text.Length == 0 ? Opening : text).ReplaceLineEndings("\n").TrimEnd('\n').Split('\n')];
    }

    private static string Joined(List<string> lines, string lineEnd) => string.Join(lineEnd, lines) + lineEnd;

    // The lines of a key of the outermost mapping, found by the parser and not by their looks.
    private static Setting? Find(string text, string key)
    {
        var parser = new Parser(new StringReader(text));
        parser.Consume<StreamStart>();
        if (!parser.TryConsume<DocumentStart>(out _) || !parser.TryConsume<MappingStart>(out _))
        {
            return null;
        }

        while (parser.TryConsume<Scalar>(out var name))
        {
            var value = Value(parser, (int)name.Start.Line - 1);
            if (name.Value == key)
            {
                return value;
            }
        }

        return null;
    }

    // A list in block style has no end of its own; its last entry tells the last line. One in brackets ends with the bracket.
    private static Setting Value(Parser parser, int first)
    {
        var isBracketed = parser.Current is SequenceStart { Style: SequenceStyle.Flow } or MappingStart { Style: MappingStyle.Flow };
        var entries = new List<(string Value, int Start, int End, int Line)>();
        var (depth, last) = (0, first);
        do
        {
            var step = parser.Current!;
            parser.MoveNext();
            depth += step.NestingIncrease;
            if (step is Scalar scalar)
            {
                entries.Add((scalar.Value, (int)scalar.Start.Column - 1, (int)scalar.End.Column - 1, (int)scalar.Start.Line - 1));
            }

            last = step is Scalar || isBracketed ? Math.Max(last, (int)step.End.Line - 1) : last;
        }
        while (depth > 0);
        return new Setting(first, last, isBracketed, entries);
    }

    private static string Quoted(string value) =>
        value.Length > 0 && value.All(c => char.IsAsciiLetterOrDigit(c) || c is '/' or '_' or '-' or '.') && !value.StartsWith('-')
            ? value
            : "'" + value.Replace("'", "''", StringComparison.Ordinal) + "'";

    private sealed record Setting(int First, int Last, bool IsBracketed, IReadOnlyList<(string Value, int Start, int End, int Line)> Entries);
}
