namespace BusScope.Signals.Loading;

/// <summary>The text of a definition file, for the lines that a diagnostic shows.</summary>
public sealed class SourceText
{
    private int[]? lineStarts;

    /// <summary>A text under the name by which the user knows it.</summary>
    public SourceText(string fileName, string text)
    {
        FileName = fileName;
        Text = text;
    }

    /// <summary>The file as the user named it.</summary>
    public string FileName { get; }

    /// <summary>The whole text, without a byte order mark.</summary>
    public string Text { get; }

    /// <summary>How many lines there are; a text that ends with a line end has an empty last line.</summary>
    public int LineCount => (lineStarts ??= FindLines(Text)).Length;

    /// <summary>A line without its end, counted from 1; empty outside the text.</summary>
    public string Line(int number) => WholeLine(number).TrimEnd('\r', '\n');

    /// <summary>A line with its end, counted from 1; empty outside the text.</summary>
    public string WholeLine(int number)
    {
        lineStarts ??= FindLines(Text);
        if (number < 1 || number > lineStarts.Length)
        {
            return "";
        }

        var start = lineStarts[number - 1];
        var end = number < lineStarts.Length ? lineStarts[number] : Text.Length;
        return Text[start..end];
    }

    private static int[] FindLines(string text)
    {
        var starts = new List<int> { 0 };
        for (var i = 0; i < text.Length; i++)
        {
            // A lone carriage return ends a line too (YAML 1.2, section 5.4).
            if (text[i] == '\n' || (text[i] == '\r' && (i + 1 == text.Length || text[i + 1] != '\n')))
            {
                starts.Add(i + 1);
            }
        }

        return [.. starts];
    }
}
