using BusScope.Frames.Diagnostics;

namespace BusScope.Signals.Loading.Yaml;

/// <summary>A value of a YAML text with its place. An aliased value is one node met twice, so nothing may hang on its parent.</summary>
internal abstract class Node(TextPlace place)
{
    /// <summary>Where it stands.</summary>
    public TextPlace Place { get; } = place;

    /// <summary>How many values it holds, itself included, aliases counted as often as they stand.</summary>
    public long Size { get; protected init; } = 1;

    /// <summary>What it is, for a message: <c>a mapping</c>.</summary>
    public abstract string Describe();
}

/// <summary>A single value, always as text: what it is decides the key, not YAML's guess.</summary>
internal sealed class ScalarNode(TextPlace place, string value, bool isQuoted, bool isVerbatim) : Node(place)
{
    /// <summary>The text after quotes and escapes.</summary>
    public string Value { get; } = value;

    /// <summary>Whether nothing stands there (<c>key:</c>, <c>~</c>, <c>null</c>).</summary>
    public bool IsNothing => !isQuoted && Value is ("" or "~" or "null");

    /// <summary>A part of the value as a place in the file; the whole where quoting or folding moved the characters.</summary>
    public TextPlace Part(int position, int length) => isVerbatim
        ? Place with { Column = Place.Column + position + (isQuoted ? 1 : 0), Length = Math.Max(1, length) }
        : Place;

    /// <inheritdoc/>
    public override string Describe() => IsNothing ? "nothing" : FaultList.Quote(Value);
}

/// <summary>A list of values.</summary>
internal sealed class ListNode : Node
{
    public ListNode(TextPlace place, IReadOnlyList<Node> items)
        : base(place)
    {
        Items = items;
        Size = 1 + items.Sum(item => item.Size);
    }

    /// <summary>In order.</summary>
    public IReadOnlyList<Node> Items { get; }

    /// <inheritdoc/>
    public override string Describe() => "a list";
}

/// <summary>A key of a mapping with its value.</summary>
internal readonly record struct Entry(ScalarNode Key, Node Value)
{
    /// <summary>The key's text.</summary>
    public string Name => Key.Value;
}

/// <summary>A mapping; no key stands in it twice.</summary>
internal sealed class MapNode : Node
{
    private readonly NamedEntries entries;

    public MapNode(TextPlace place, NamedEntries entries, IReadOnlyList<Entry> repeated)
        : base(place)
    {
        this.entries = entries;
        Repeated = repeated;
        Size = 1 + entries.Size;
    }

    /// <summary>In order of the file.</summary>
    public IReadOnlyList<Entry> Entries => entries.All;

    /// <summary>Those whose key stood there already: reported as that, and in no <see cref="Entries"/>.</summary>
    public IReadOnlyList<Entry> Repeated { get; }

    /// <summary>The entry of this name, or null.</summary>
    public Entry? Find(string name) => entries.Find(name);

    /// <inheritdoc/>
    public override string Describe() => "a mapping";
}
