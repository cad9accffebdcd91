namespace BusScope.Terminal.Drawing;

/// <summary>Sentences in lines that break between words; a word longer than a line breaks where the line ends. Allocates nothing.</summary>
internal static class Wrap
{
    /// <summary>How many lines a text takes.</summary>
    /// <param name="text">The text.</param>
    /// <param name="width">Columns of a line; fewer than 1 count as 1.</param>
    public static int Lines(ReadOnlySpan<char> text, int width)
    {
        var lines = 0;
        for (var rest = text; !rest.IsEmpty; lines++)
        {
            _ = Take(ref rest, width);
        }

        return lines;
    }

    /// <summary>Takes the next line off a text.</summary>
    /// <param name="rest">What is left; empty after the last line.</param>
    /// <param name="width">Columns of a line; fewer than 1 count as 1.</param>
    public static ReadOnlySpan<char> Take(scoped ref ReadOnlySpan<char> rest, int width)
    {
        width = Math.Max(1, width);
        if (rest.Length <= width)
        {
            var last = rest;
            rest = default;
            return last;
        }

        // A blank right behind the line may be its end.
        var blank = rest[..(width + 1)].LastIndexOf(' ');
        var length = blank > 0 ? blank : width;
        var line = rest[..length];
        rest = rest[length..].TrimStart(' ');
        return line;
    }
}
