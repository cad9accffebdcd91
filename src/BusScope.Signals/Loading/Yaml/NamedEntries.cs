namespace BusScope.Signals.Loading.Yaml;

/// <summary>
/// The entries of a mapping in the order of the file, no name twice, found by name. Most mappings have a few entries only, of which a
/// walk finds one sooner than a dictionary could be filled; a file has thousands of those.
/// </summary>
internal sealed class NamedEntries
{
    private const int MostWalked = 12;

    private readonly List<Entry> all = [];
    private Dictionary<string, int>? indexes;

    /// <summary>In order of the file.</summary>
    public IReadOnlyList<Entry> All => all;

    /// <summary>How many values they hold, the keys included.</summary>
    public long Size { get; private set; }

    /// <summary>Adds an entry, unless its name is taken.</summary>
    public bool TryAdd(Entry entry)
    {
        if (IndexOf(entry.Name) >= 0)
        {
            return false;
        }

        indexes?.Add(entry.Name, all.Count);
        all.Add(entry);
        Size += 1 + entry.Value.Size;
        if (all.Count > MostWalked && indexes is null)
        {
            indexes = new Dictionary<string, int>(StringComparer.Ordinal);
            for (var i = 0; i < all.Count; i++)
            {
                indexes.Add(all[i].Name, i);
            }
        }

        return true;
    }

    /// <summary>The entry of this name, or null.</summary>
    public Entry? Find(string name) => IndexOf(name) is >= 0 and var index ? all[index] : null;

    private int IndexOf(string name)
    {
        if (indexes is not null)
        {
            return indexes.TryGetValue(name, out var index) ? index : -1;
        }

        for (var i = 0; i < all.Count; i++)
        {
            if (all[i].Name == name)
            {
                return i;
            }
        }

        return -1;
    }
}
