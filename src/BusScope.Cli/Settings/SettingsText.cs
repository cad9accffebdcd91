using YamlDotNet.Core;
using YamlDotNet.Core.Events;

namespace BusScope.Cli.Settings;

/// <summary>Puts what is to be remembered into the text of a settings file; comments, order and everything else stay as a person wrote them.</summary>
internal static class SettingsText
{
    private const string Opening = "# What BusScope remembers (docs/settings.md). Comments that you add stay.\n";

    /// <summary>Whether the text is written in lines, each key beginning one, so that keys can be put in place of others. A mapping in brackets is not.</summary>
    public static bool IsInLines(string text)
    {
        var parser = new Parser(new StringReader(text));
        parser.Consume<StreamStart>();
        return !parser.TryConsume<DocumentStart>(out _) || !parser.TryConsume<MappingStart>(out var mapping) || mapping.Style != MappingStyle.Flow;
    }

    /// <summary>The text with a value for a key.</summary>
    public static string With(string text, string key, string value) => Put(text, key, [$"{key}: {Quoted(value)}"]);

    /// <summary>The text with a list for a key.</summary>
    public static string With(string text, string key, IReadOnlyList<string> values) =>
        Put(text, key, values.Count == 0 ? [$"{key}: []"] : [$"{key}:", .. values.Select(value => $"  - {Quoted(value)}")]);

    private static string Put(string text, string key, string[] block)
    {
        var lines = (text.Length == 0 ? Opening : text).ReplaceLineEndings("\n").TrimEnd('\n').Split('\n').ToList();
        var (first, count) = Find(text, key);
        if (first < 0)
        {
            lines.AddRange(block);
        }
        else
        {
            lines.RemoveRange(first, count);
            lines.InsertRange(first, block);
        }

        return string.Join('\n', lines) + "\n";
    }

    // The lines of a key of the outermost mapping, found by the parser and not by their looks.
    private static (int First, int Count) Find(string text, string key)
    {
        var parser = new Parser(new StringReader(text));
        parser.Consume<StreamStart>();
        if (!parser.TryConsume<DocumentStart>(out _) || !parser.TryConsume<MappingStart>(out _))
        {
            return (-1, 0);
        }

        while (parser.TryConsume<Scalar>(out var found))
        {
            var last = LastLine(parser);
            if (found.Value == key)
            {
                return ((int)found.Start.Line - 1, (int)(last - found.Start.Line + 1));
            }
        }

        return (-1, 0);
    }

    // A list in block style has no end of its own; its last entry tells the last line. One in brackets ends with the bracket.
    private static long LastLine(Parser parser)
    {
        var last = parser.Current!.Start.Line;
        var isBracketed = parser.Current is SequenceStart { Style: SequenceStyle.Flow } or MappingStart { Style: MappingStyle.Flow };
        var depth = 0;
        do
        {
            var step = parser.Current!;
            parser.MoveNext();
            depth += step.NestingIncrease;
            last = step is Scalar || isBracketed ? Math.Max(last, step.End.Line) : last;
        }
        while (depth > 0);
        return last;
    }

    private static string Quoted(string value) =>
        value.All(c => char.IsAsciiLetterOrDigit(c) || c is '/' or '_' or '-' or '.') && !value.StartsWith('-')
            ? value
            : "'" + value.Replace("'", "''", StringComparison.Ordinal) + "'";
}
