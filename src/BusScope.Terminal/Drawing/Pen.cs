using System.Globalization;

namespace BusScope.Terminal.Drawing;

/// <summary>
/// Writes along one row of a sheet, from left to right, and never beyond its end. Text that comes from files is made safe
/// here, once for all: no control character and no wide character reaches a sheet. Writing allocates nothing (text without
/// such characters; in the plain alphabet, text that is in it).
/// </summary>
internal ref struct Pen
{
    private readonly Span<char> characters;
    private readonly Span<Ink> inks;
    private readonly Span<bool> figures;
    private readonly Marks marks;

    /// <summary>A pen at the left end of a row of an area; outside of the sheet it writes nothing.</summary>
    public Pen(Sheet sheet, Area area, int row, Marks marks)
    {
        this.marks = marks;
        var y = area.Top + row;
        if (row >= 0 && row < area.Height && y < sheet.Height && area.Left < sheet.Width)
        {
            var width = Math.Min(area.Width, sheet.Width - area.Left);
            characters = sheet.Characters(y).Slice(area.Left, Math.Max(0, width));
            inks = sheet.Inks(y).Slice(area.Left, Math.Max(0, width));
            figures = sheet.Figures(y).Slice(area.Left, Math.Max(0, width));
        }
    }

    /// <summary>The column it stands at.</summary>
    public int Column { get; private set; }

    /// <summary>Columns that are left.</summary>
    public readonly int Room => characters.Length - Column;

    /// <summary>Moves on to a column, never back.</summary>
    public void To(int column) => Column = Math.Clamp(column, Column, characters.Length);

    /// <summary>Moves on by so many blanks.</summary>
    public void Skip(int columns = 1) => To(Column + columns);

    /// <summary>Writes a text, cut with a mark where it is wider than <paramref name="atMost"/> or the row.</summary>
    public void Write(string text, Ink ink = Ink.Plain, int atMost = int.MaxValue) => Write(marks.Safe(text).AsSpan(), ink, atMost);

    /// <summary>Writes a text of our own making.</summary>
    public void Write(scoped ReadOnlySpan<char> text, Ink ink = Ink.Plain, int atMost = int.MaxValue)
    {
        var room = Math.Min(atMost, Room);
        var kept = text.Length <= room ? text : text[..Math.Max(0, room - 1)];
        foreach (var c in kept)
        {
            Put(c, ink);
        }

        if (kept.Length < text.Length && room > 0)
        {
            Put(marks.Cut, ink);
        }
    }

    /// <summary>Writes one character of our own.</summary>
    public void Put(char c, Ink ink = Ink.Plain, int times = 1)
    {
        for (; times > 0 && Column < characters.Length; times--)
        {
            characters[Column] = c;
            inks[Column++] = ink;
        }
    }

    /// <summary>Writes a figure, right-aligned in a field where one is given.</summary>
    public void Figure<T>(T value, string format, Ink ink = Ink.Plain, int width = 0)
        where T : ISpanFormattable
    {
        Span<char> text = stackalloc char[48];
        if (value.TryFormat(text, out var length, format, CultureInfo.InvariantCulture))
        {
            Figure(text[..length], ink, width);
        }
    }

    /// <summary>Writes the characters of a figure, right-aligned in a field where one is given.</summary>
    public void Figure(scoped ReadOnlySpan<char> text, Ink ink = Ink.Plain, int width = 0)
    {
        var start = Column;
        Skip(width - text.Length);
        Write(text, ink);
        FigureFrom(start);
    }

    /// <summary>Makes a figure of what was written from a column on.</summary>
    public readonly void FigureFrom(int column) => figures[column..Column].Fill(true);

    /// <summary>Writes one character over what stands at a column already written.</summary>
    public readonly void Over(int column, char c, Ink ink)
    {
        if (column >= 0 && column < Column)
        {
            (characters[column], inks[column]) = (c, ink);
        }
    }

    /// <summary>Gives the whole row an ink of its own.</summary>
    public readonly void TintRow(Ink ink) => inks.Fill(ink);

    /// <summary>Ends in a rule up to the end of the row.</summary>
    public void Rule() => Put(marks.Rule, Ink.Quiet, Room);
}
