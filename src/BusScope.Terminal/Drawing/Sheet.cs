namespace BusScope.Terminal.Drawing;

/// <summary>
/// One screenful of characters and inks, filled anew for each picture and then compared with what the terminal shows. It
/// knows nothing of the terminal, so that every picture can be tested as text. Used by the screen's thread alone.
/// </summary>
internal sealed class Sheet
{
    private char[] characters = [];
    private Ink[] inks = [];
    private bool[] figures = [];

    /// <summary>Columns.</summary>
    public int Width { get; private set; }

    /// <summary>Rows.</summary>
    public int Height { get; private set; }

    /// <summary>The whole of it.</summary>
    public Area Whole => new(0, 0, Width, Height);

    /// <summary>Makes it so large and blank.</summary>
    public void Clear(int width, int height)
    {
        (Width, Height) = (Math.Max(0, width), Math.Max(0, height));
        if (characters.Length < Width * Height)
        {
            characters = new char[Width * Height];
            inks = new Ink[Width * Height];
            figures = new bool[Width * Height];
        }

        characters.AsSpan().Fill(' ');
        inks.AsSpan().Clear();
        figures.AsSpan().Clear();
    }

    /// <summary>The characters of a row.</summary>
    public Span<char> Characters(int row) => characters.AsSpan(row * Width, Width);

    /// <summary>The inks of a row.</summary>
    public Span<Ink> Inks(int row) => inks.AsSpan(row * Width, Width);

    /// <summary>Which cells of a row belong to figures: what changes with every frame, faster than anybody reads.</summary>
    public Span<bool> Figures(int row) => figures.AsSpan(row * Width, Width);

    /// <summary>Whether a row looks like the same row of a sheet of the same size.</summary>
    public bool IsRowOf(Sheet other, int row) =>
        Characters(row).SequenceEqual(other.Characters(row)) && Inks(row).SequenceEqual(other.Inks(row));

    /// <summary>Whether nothing but figures is different from the same row of a sheet of the same size.</summary>
    public bool IsRowOfButForFigures(Sheet other, int row)
    {
        for (var i = row * Width; i < (row + 1) * Width; i++)
        {
            var isOther = characters[i] != other.characters[i] || inks[i] != other.inks[i];
            if (isOther && !(figures[i] && other.figures[i]))
            {
                return false;
            }
        }

        return true;
    }

    /// <summary>Takes a row over from a sheet of the same size.</summary>
    public void TakeRow(Sheet other, int row)
    {
        other.Characters(row).CopyTo(Characters(row));
        other.Inks(row).CopyTo(Inks(row));
        other.Figures(row).CopyTo(Figures(row));
    }
}

/// <summary>A rectangle of a sheet.</summary>
internal readonly record struct Area(int Left, int Top, int Width, int Height)
{
    /// <summary>The column after the last.</summary>
    public int Right => Left + Width;

    /// <summary>The row after the last.</summary>
    public int Bottom => Top + Height;

    /// <summary>Whether nothing fits in.</summary>
    public bool IsEmpty => Width <= 0 || Height <= 0;

    /// <summary>Without its first rows.</summary>
    public Area Below(int rows) => new(Left, Top + rows, Width, Math.Max(0, Height - rows));

    /// <summary>Its first rows.</summary>
    public Area First(int rows) => this with { Height = Math.Clamp(rows, 0, Height) };
}
