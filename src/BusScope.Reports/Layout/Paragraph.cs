namespace BusScope.Reports.Layout;

/// <summary>Text broken into lines at blanks, so that it reads in a terminal of 80 columns.</summary>
public static class Paragraph
{
    /// <summary>Columns of a report.</summary>
    public const int Width = 80;

    private static readonly string[] Units = ["s", "ms", "µs", "%", "min", "bytes", "frames"];

    /// <summary>Writes the text behind a first margin, further lines behind a hanging one of blanks.</summary>
    /// <param name="output">Where to.</param>
    /// <param name="text">The text; a word longer than the line stands alone on its line.</param>
    /// <param name="first">What stands before the first line.</param>
    /// <param name="hanging">Blanks before each further line.</param>
    public static void Write(TextWriter output, string text, string first, int hanging)
    {
        ArgumentNullException.ThrowIfNull(output);
        ArgumentNullException.ThrowIfNull(text);
        ArgumentNullException.ThrowIfNull(first);
        output.Write(first);
        var column = first.Length;
        var isLineStart = true;
        foreach (var word in Words(text))
        {
            if (!isLineStart && column + 1 + word.Length > Width)
            {
                output.WriteLine();
                output.Write(new string(' ', hanging));
                (column, isLineStart) = (hanging, true);
            }

            output.Write(isLineStart ? word : " " + word);
            column += word.Length + (isLineStart ? 0 : 1);
            isLineStart = false;
        }

        output.WriteLine();
    }

    // A figure and its unit stay together.
    private static List<string> Words(string text)
    {
        var words = new List<string>();
        foreach (var word in text.Split(' ', StringSplitOptions.RemoveEmptyEntries))
        {
            if (words is [.., [.., >= '0' and <= '9'] figure] && Units.Contains(word.TrimEnd('.', ',', ';', ':')))
            {
                words[^1] = $"{figure} {word}";
            }
            else
            {
                words.Add(word);
            }
        }

        return words;
    }
}
