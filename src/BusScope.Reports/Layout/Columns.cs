namespace BusScope.Reports.Layout;

/// <summary>Text in columns: words to the left, figures to the right, two blanks between, no lines drawn.</summary>
public sealed class Columns
{
    private const string Gap = "  ";

    private readonly bool[] toTheRight;
    private readonly List<Cell[]> rows = [];

    /// <summary>A table with its headings.</summary>
    /// <param name="headings">A heading that starts with <c>&gt;</c> stands, like its column, to the right.</param>
    public Columns(params ReadOnlySpan<string> headings)
    {
        toTheRight = new bool[headings.Length];
        var cells = new Cell[headings.Length];
        for (var i = 0; i < headings.Length; i++)
        {
            toTheRight[i] = headings[i].StartsWith('>');
            cells[i] = new Cell(toTheRight[i] ? headings[i][1..] : headings[i]);
        }

        rows.Add(cells);
    }

    /// <summary>Adds a row, one cell for each heading.</summary>
    public void Add(params ReadOnlySpan<Cell> cells) => rows.Add(cells.ToArray());

    /// <summary>Writes the table behind a margin.</summary>
    /// <param name="output">Where to.</param>
    /// <param name="ink">How headings and inked cells look.</param>
    /// <param name="margin">Blanks before each line.</param>
    public void Write(TextWriter output, Ink ink, int margin = 0)
    {
        ArgumentNullException.ThrowIfNull(output);
        ArgumentNullException.ThrowIfNull(ink);
        var widths = new int[toTheRight.Length];
        foreach (var row in rows)
        {
            for (var i = 0; i < widths.Length; i++)
            {
                widths[i] = Math.Max(widths[i], row[i].Text.Length);
            }
        }

        foreach (var row in rows)
        {
            var isHeading = ReferenceEquals(row, rows[0]);
            var line = new System.Text.StringBuilder().Append(' ', margin);
            var pending = 0;
            for (var i = 0; i < widths.Length; i++)
            {
                var blanks = widths[i] - row[i].Text.Length;
                line.Append(' ', toTheRight[i] ? pending + blanks : pending);
                var shown = isHeading ? ink.Faint(row[i].Text) : row[i].Shown;
                line.Append(shown);
                pending = (toTheRight[i] ? 0 : blanks) + Gap.Length;
            }

            output.WriteLine(line.ToString().TrimEnd());
        }
    }
}

/// <summary>A cell: its text, and how it is shown where that differs (colour, which takes no room).</summary>
/// <param name="Text">The text, which counts for the width.</param>
/// <param name="Shown">The same text, perhaps in colour.</param>
public readonly record struct Cell(string Text, string Shown)
{
    /// <summary>A plain cell.</summary>
    public Cell(string text)
        : this(text, text)
    {
    }

    /// <summary>A text is a plain cell.</summary>
    public static implicit operator Cell(string text) => new(text);

    /// <summary>A plain cell.</summary>
    public static Cell FromString(string text) => new(text);
}
