namespace BusScope.Signals.Loading;

/// <summary>Finds the name that was probably meant, by the number of letters to change.</summary>
public static class Suggestion
{
    private const int LongestName = 128;
    private const int ShortestAbbreviation = 4;

    /// <summary><c>did you mean 'length'?</c>, or null where no name is near.</summary>
    public static string? For(string found, IEnumerable<string> names) => Nearest(found, names) is { } name ? $"did you mean '{name}'?" : null;

    /// <summary>The nearest name, or null where none is near enough to be meant.</summary>
    public static string? Nearest(string found, IEnumerable<string> names)
    {
        if (found.Length is 0 or > LongestName)
        {
            return null;
        }

        string? best = null;
        var least = Math.Max(1, found.Length / 3) + 1;
        foreach (var name in names)
        {
            if (Math.Abs(name.Length - found.Length) < least && Distance(found, name) is var distance && distance < least)
            {
                (best, least) = (name, distance);
            }
        }

        return best ?? Shortened(found, names);
    }

    // 'crc8-j1850' for 'crc8-sae-j1850': all letters are there in order, some between them are missing.
    private static string? Shortened(string found, IEnumerable<string> names)
    {
        string? best = null;
        foreach (var name in found.Length < ShortestAbbreviation ? [] : names)
        {
            var next = 0;
            for (var i = 0; i < name.Length && next < found.Length; i++)
            {
                next += Same(name[i], found[next]) ? 1 : 0;
            }

            if (next == found.Length && (best is null || name.Length < best.Length))
            {
                best = name;
            }
        }

        return best;
    }

    // Letters to insert, delete, change or swap with their neighbour (optimal string alignment); case counts for nothing.
    private static int Distance(string left, string right)
    {
        if (right.Length > LongestName)
        {
            return int.MaxValue;
        }

        Span<int> twoAbove = stackalloc int[right.Length + 1];
        Span<int> above = stackalloc int[right.Length + 1];
        Span<int> row = stackalloc int[right.Length + 1];
        for (var j = 0; j <= right.Length; j++)
        {
            above[j] = j;
        }

        for (var i = 1; i <= left.Length; i++)
        {
            row[0] = i;
            for (var j = 1; j <= right.Length; j++)
            {
                var same = Same(left[i - 1], right[j - 1]) ? 0 : 1;
                row[j] = Math.Min(Math.Min(above[j] + 1, row[j - 1] + 1), above[j - 1] + same);
                if (i > 1 && j > 1 && Same(left[i - 1], right[j - 2]) && Same(left[i - 2], right[j - 1]))
                {
                    row[j] = Math.Min(row[j], twoAbove[j - 2] + 1);
                }
            }

            above.CopyTo(twoAbove);
            row.CopyTo(above);
        }

        return above[right.Length];
    }

    private static bool Same(char left, char right) => char.ToUpperInvariant(left) == char.ToUpperInvariant(right);
}
