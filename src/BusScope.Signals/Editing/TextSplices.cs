using System.Text;
using BusScope.Signals.Loading;

namespace BusScope.Signals.Editing;

/// <summary>Additions to a text, gathered by position and put in all at once, so that one does not move the place of another.</summary>
public sealed class TextSplices
{
    private readonly SortedDictionary<int, StringBuilder> behindLines = [];
    private readonly SortedDictionary<(int Line, int Column), StringBuilder> inLines = [];

    /// <summary>Adds whole lines behind a line, after those that were added there before.</summary>
    /// <param name="line">The line, from 1; 0 for the beginning of the text.</param>
    /// <param name="text">Lines with their ends.</param>
    public void Behind(int line, string text)
    {
        if (!behindLines.TryGetValue(line, out var kept))
        {
            behindLines.Add(line, kept = new StringBuilder());
        }

        kept.Append(text);
    }

    /// <summary>Adds characters before a column of a line, after those that were added there before.</summary>
    /// <param name="line">The line, from 1.</param>
    /// <param name="column">The column, from 1.</param>
    /// <param name="text">The characters.</param>
    public void Before(int line, int column, string text)
    {
        if (!inLines.TryGetValue((line, column), out var kept))
        {
            inLines.Add((line, column), kept = new StringBuilder());
        }

        kept.Append(text);
    }

    /// <summary>The text with everything added; its own line ends stay as they are.</summary>
    public string Apply(SourceText source)
    {
        ArgumentNullException.ThrowIfNull(source);
        var lineEnd = source.Text.Contains("\r\n", StringComparison.Ordinal) ? "\r\n" : "\n";
        var text = new StringBuilder(Lines(0, lineEnd));
        for (var line = 1; line <= source.LineCount; line++)
        {
            var whole = source.WholeLine(line);
            var at = 0;
            foreach (var ((_, column), added) in inLines.Where(each => each.Key.Line == line))
            {
                text.Append(whole, at, column - 1 - at).Append(added);
                at = column - 1;
            }

            text.Append(whole, at, whole.Length - at);
            var behind = Lines(line, lineEnd);
            if (behind.Length > 0 && whole is not [.., '\n' or '\r'])
            {
                text.Append(lineEnd);
            }

            text.Append(behind);
        }

        return text.ToString();
    }

    private string Lines(int line, string lineEnd) => behindLines.TryGetValue(line, out var added) ? added.ToString().ReplaceLineEndings(lineEnd) : "";
}
