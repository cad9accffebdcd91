namespace BusScope.Transport.Tables;

/// <summary>Where the cells of one row stand: in the row itself, or, where quotes had to be taken off, in a copy. Reused for every row.</summary>
internal sealed class Cells
{
    /// <summary>The most cells of a row: 64 data columns and as many others.</summary>
    public const int Most = 128;

    private readonly int[] starts = new int[Most];
    private readonly int[] ends = new int[Most];
    private readonly byte[] copy = new byte[LineReader.LongestLine];
    private int copied;

    /// <summary>How many cells the row has.</summary>
    public int Count { get; private set; }

    /// <summary>Whether the row has more cells than there is room for.</summary>
    public bool Overflowed { get; private set; }

    /// <summary>Whether the cells stand in the copy.</summary>
    public bool AreCopied { get; private set; }

    /// <summary>Forgets the row before.</summary>
    public void Clear(bool areCopied)
    {
        Count = 0;
        copied = 0;
        Overflowed = false;
        AreCopied = areCopied;
    }

    /// <summary>Adds the cell from <paramref name="start"/> up to before <paramref name="end"/>.</summary>
    public void Add(int start, int end)
    {
        if (Count == Most)
        {
            Overflowed = true;
            return;
        }

        starts[Count] = start;
        ends[Count++] = end;
    }

    /// <summary>Adds a cell by its text, which is copied.</summary>
    public void AddCopy(ReadOnlySpan<byte> text)
    {
        var start = copied;
        Append(text);
        Add(start, copied);
    }

    /// <summary>Appends to the copy without ending a cell.</summary>
    public void Append(ReadOnlySpan<byte> text)
    {
        // A copy never grows beyond the row it comes from, which is bounded; a pattern may name nested groups, so cut all the same.
        var fits = text[..Math.Min(text.Length, copy.Length - copied)];
        Overflowed |= fits.Length < text.Length;
        fits.CopyTo(copy.AsSpan(copied));
        copied += fits.Length;
    }

    /// <summary>Where the next copied byte will stand.</summary>
    public int CopyPosition => copied;

    /// <summary>The text that the cells point into.</summary>
    public ReadOnlySpan<byte> TextOf(ReadOnlySpan<byte> row) => AreCopied ? copy : row;

    /// <summary>A cell without blanks around it; empty where the row has no such cell.</summary>
    public ReadOnlySpan<byte> Get(ReadOnlySpan<byte> text, int index)
    {
        if ((uint)index >= (uint)Count)
        {
            return [];
        }

        var cell = text[starts[index]..ends[index]];
        return cell.Length == 0 || (cell[0] != ' ' && cell[^1] != ' ') ? cell : cell.Trim((byte)' ');
    }
}
