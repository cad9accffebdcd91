using BusScope.Frames;
using BusScope.Frames.Diagnostics;
using BusScope.Signals.Loading.Yaml;

namespace BusScope.Signals.Loading.Binding;

/// <summary>
/// A mapping read by its table of keys. Each reader reports what is wrong with its value and then gives null, so that the
/// binders read on and every fault is told at once.
/// </summary>
internal sealed class Section
{
    private readonly KeyTable table;
    private readonly FaultList faults;
    private readonly MapNode? map;

    /// <summary>Reports the keys that the table does not have and those that are missing.</summary>
    public Section(Node node, TextPlace place, KeyTable table, FaultList faults)
    {
        this.table = table;
        this.faults = faults;
        Place = place;
        map = node as MapNode;
        if (map is null)
        {
            faults.Add(Faults.WrongType, node.Place, $"found {node.Describe()}; expected a mapping with the keys of a {table.Name}", $"its keys are: {string.Join(", ", table.Keys.Take(6).Select(key => key.Name))}{(table.Keys.Count > 6 ? ", ..." : "")}");
            return;
        }

        foreach (var entry in map.Entries)
        {
            if (table.Find(entry.Name) is null)
            {
                faults.Add(Faults.UnknownKey, entry.Key.Place, $"a {table.Name} has no key {FaultList.Quote(entry.Name)}", faults.Suggest(entry.Name, table.Keys.Select(key => key.Name)) ?? OtherHome(entry.Name));
            }
        }

        foreach (var key in table.Keys)
        {
            if (key.IsNeeded && map.Find(key.Name) is null)
            {
                faults.Add(key.Name == "busscope" ? Faults.VersionWrong : Faults.MissingKey, place, $"a {table.Name} needs the key '{key.Name}' ({key.Accepts})", key.Name == "busscope" ? "write 'busscope: 1' in the first line" : null);
            }
        }
    }

    /// <summary>Where the whole stands: the key that it is the value of.</summary>
    public TextPlace Place { get; }

    /// <summary>Whether the key stands there, whatever its value.</summary>
    public bool Has(string key) => Find(key) is not null;

    /// <summary>The value of a key, or null.</summary>
    public Node? Find(string key)
    {
        // A key that the table lacks would never be found: a slip of ours, met by the first test that binds the mapping.
        if (table.Find(key) is null)
        {
            throw new InvalidOperationException($"the table '{table.Name}' has no key '{key}'");
        }

        return map?.Find(key)?.Value;
    }

    /// <summary>Where the key stands; the section's place where it does not.</summary>
    public TextPlace KeyPlace(string key) => map?.Find(key)?.Key.Place ?? Place;

    /// <summary>Where the value stands; the section's place where there is none.</summary>
    public TextPlace ValuePlace(string key) => map?.Find(key)?.Value.Place ?? Place;

    /// <summary>The key's value as a single text, or null with a fault if it is something else.</summary>
    public ScalarNode? Scalar(string key)
    {
        var node = Find(key);
        return node is null ? null : faults.Scalar(node, Accepts(key));
    }

    /// <summary>A whole number within bounds.</summary>
    public Int128? Whole(string key, Int128 smallest, Int128 largest) =>
        Scalar(key) is { } scalar ? faults.Whole(scalar, smallest, largest) : null;

    /// <summary>A number.</summary>
    public double? Number(string key) => Scalar(key) is { } scalar ? faults.Number(scalar) : null;

    /// <summary>True or false.</summary>
    public bool? Flag(string key) => Word(key, flags);

    /// <summary>A text for a person.</summary>
    public string? Text(string key) => Scalar(key) is { } scalar ? faults.Text(scalar) : null;

    /// <summary>A time with its unit.</summary>
    public FrameSpan? Duration(string key)
    {
        if (Scalar(key) is not { } scalar)
        {
            return null;
        }

        if (Literal.TryDuration(scalar.Value, out var span))
        {
            return span;
        }

        var lacksUnit = Literal.TryNumber(scalar.Value, out var number) && number > 0;
        faults.Add(Faults.BadDuration, scalar.Place, $"found {scalar.Describe()}; expected a time of more than nothing with its unit: ns, us, ms, s or min", lacksUnit ? $"did you mean '{scalar.Value} ms'?" : "for example '10 ms'");
        return null;
    }

    /// <summary>A bit rate with its unit.</summary>
    public long? BitRate(string key)
    {
        if (Scalar(key) is not { } scalar)
        {
            return null;
        }

        if (Literal.TryBitRate(scalar.Value, out var rate))
        {
            return rate;
        }

        faults.Add(Faults.BadBitRate, scalar.Place, $"found {scalar.Describe()}; expected a bit rate from 1 kbit/s to 20 Mbit/s with its unit: bit/s, kbit/s or Mbit/s", "for example '500 kbit/s'");
        return null;
    }

    /// <summary>One of a few words.</summary>
    public T? Word<T>(string key, IReadOnlyList<(string Word, T Value)> words)
        where T : struct
    {
        if (Scalar(key) is not { } scalar)
        {
            return null;
        }

        foreach (var (word, value) in words)
        {
            if (scalar.Value == word)
            {
                return value;
            }
        }

        var names = words.Select(word => word.Word).ToList();
        faults.Add(Faults.UnknownWord, scalar.Place, $"found {scalar.Describe()}; expected {(names.Count == 2 ? $"{names[0]} or {names[1]}" : $"one of {string.Join(", ", names)}")}", faults.Suggest(scalar.Value, names) ?? YesOrNo(scalar.Value, names));
        return null;
    }

    /// <summary>The entries of a mapping whose keys are names, or none.</summary>
    public IReadOnlyList<Entry> Entries(string key)
    {
        switch (Find(key))
        {
            case null:
                return [];
            case MapNode mapping:
                return mapping.Entries;
            case var other:
                faults.Add(Faults.WrongType, other.Place, $"found {other.Describe()}; '{key}' takes a {Accepts(key)}", other is ScalarNode { IsNothing: true } ? $"remove '{key}', or indent what belongs to it" : null);
                return [];
        }
    }

    /// <summary>The entries of such a mapping whose names stood there already.</summary>
    public IReadOnlyList<Entry> Repeated(string key) => Find(key) is MapNode mapping ? mapping.Repeated : [];

    /// <summary>The items of a list; a single value counts as a list of one.</summary>
    public IReadOnlyList<Node> Items(string key)
    {
        switch (Find(key))
        {
            case null:
                return [];
            case ListNode list:
                return list.Items;
            case ScalarNode { IsNothing: true } nothing:
                faults.Add(Faults.WrongType, nothing.Place, $"found nothing; '{key}' takes a {Accepts(key)}", $"remove '{key}', or give it a value");
                return [];
            case var other:
                return [other];
        }
    }

    private static readonly (string, bool)[] flags = [("true", true), ("false", false)];

    // Older YAML had these words for true and false.
    private static string? YesOrNo(string found, List<string> names) => !names.Contains("true") ? null : found.ToLowerInvariant() switch
    {
        "yes" or "on" or "1" or "y" => "did you mean 'true'?",
        "no" or "off" or "0" or "n" => "did you mean 'false'?",
        _ => null,
    };

    private string Accepts(string key) => table.Find(key)!.Accepts;

    // A key at the wrong level is the commonest slip of indentation.
    private string? OtherHome(string name)
    {
        foreach (var other in DefinitionKeys.All)
        {
            if (other != table && other.Find(name) is not null)
            {
                return $"'{name}' is a key of a {other.Name}; is the indentation right?";
            }
        }

        return null;
    }
}
