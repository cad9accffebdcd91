using System.Globalization;
using System.Text;

namespace BusScope.Transport.Tables;

/// <summary>One reading of a header row: which column says what.</summary>
internal sealed class Header
{
    private readonly List<string> names;
    private readonly TextTableProfile profile;
    private int understood;

    /// <summary>Reads the names of a header, after the columns that the profile names.</summary>
    public Header(byte separator, List<string> names, TextTableProfile profile)
    {
        Separator = separator;
        this.names = names;
        this.profile = profile;
        var taken = new HashSet<int>();
        TakeProfile(taken);
        TakeNames(taken);
        // Without a header, rows may have any number of columns behind those that are used.
        Columns.Count = names.Count > 0 ? names.Count : Cells.Most;
        Columns.Count = names.Count == 0 && Columns[ColumnRole.Data] == taken.DefaultIfEmpty().Max() ? Columns[ColumnRole.Data] + 1 : Columns.Count;
    }

    /// <summary>The separator of this reading.</summary>
    public byte Separator { get; }

    /// <summary>What was found.</summary>
    public TableColumns Columns { get; } = new();

    /// <summary>Nanoseconds in one unit of time, where the name of the time column says so.</summary>
    public long? Unit { get; private set; }

    /// <summary>Names that are not understood.</summary>
    public List<string> Ignored { get; } = [];

    /// <summary>What speaks against the header, for a person, or null.</summary>
    public string? Fault { get; private set; }

    /// <summary>The reading that understands most, of several separators.</summary>
    public static Header Best(ReadOnlySpan<byte> line, ReadOnlySpan<byte> separators, TextTableProfile profile)
    {
        Header? best = null;
        foreach (var separator in separators)
        {
            var cells = new Cells();
            if (RowSplitter.By(separator).Split(line, cells) is not null)
            {
                continue;
            }

            var names = new List<string>();
            var text = cells.TextOf(line);
            for (var i = 0; i < cells.Count; i++)
            {
                names.Add(Encoding.UTF8.GetString(cells.Get(text, i)));
            }

            // A separator at the end of the header is no further column.
            while (names is [.., ""])
            {
                names.RemoveAt(names.Count - 1);
            }

            var header = new Header(separator, names, profile);
            best = best is null || header.understood > best.understood ? header : best;
        }

        return best ?? new Header((byte)',', [], profile);
    }

    private void TakeProfile(HashSet<int> taken)
    {
        foreach (var (role, column) in profile.Columns)
        {
            Columns[role] = Find(column);
            Take(taken, Columns[role]);
        }

        Columns.DataBytes = [.. profile.DataColumns.Select(Find)];
        foreach (var column in Columns.DataBytes)
        {
            Take(taken, column);
        }
    }

    private void Take(HashSet<int> taken, int column)
    {
        if (column >= 0)
        {
            taken.Add(column);
            understood++;
        }
    }

    private int Find(string column)
    {
        var index = names.FindIndex(n => string.Equals(n, column, StringComparison.OrdinalIgnoreCase));
        if (index >= 0)
        {
            return index;
        }

        if (int.TryParse(column, NumberStyles.None, CultureInfo.InvariantCulture, out var number) && number is >= 1 and <= Cells.Most)
        {
            return number - 1;
        }

        Fault ??= $"the profile names a column \"{column}\", which the table has not";
        return -1;
    }

    private void TakeNames(HashSet<int> taken)
    {
        var bytes = new SortedDictionary<int, int>();
        for (var column = 0; column < names.Count; column++)
        {
            if (taken.Contains(column))
            {
                continue;
            }

            if (HeaderNames.TryRole(names[column], out var role, out var unit) && Columns[role] < 0)
            {
                Columns[role] = column;
                Unit = role == ColumnRole.Time ? unit : Unit;
                understood++;
            }
            else if (HeaderNames.DataByte(names[column]) is >= 0 and var number && profile.DataColumns.Count == 0 && bytes.TryAdd(number, column))
            {
                understood++;
            }
            else if (names[column].Length > 0)
            {
                Ignored.Add(names[column]);
            }
        }

        if (bytes.Count > 0)
        {
            Columns.DataBytes = [.. bytes.Values];
            // d0, d1 … or d1, d2 …: a missing one between them would shift all that follow.
            if (bytes.Keys.First() > 1 || bytes.Keys.Last() - bytes.Keys.First() != bytes.Count - 1)
            {
                Fault = $"its data columns are not numbered without a gap: {string.Join(", ", bytes.Keys)}";
                Columns.DataBytes = [];
                Columns[ColumnRole.Id] = -1;
            }
        }
    }
}
