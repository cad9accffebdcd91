using BusScope.Signals.Loading;
using BusScope.Signals.Loading.Yaml;

namespace BusScope.Signals.Editing;

/// <summary>
/// Where things stand in the text of a definition file, so that something can be added by position: comments, order and layout of what a person
/// wrote stay as they are. Lines count from 1.
/// </summary>
public sealed class DefinitionOutline
{
    private readonly SourceText source;
    private readonly MapNode root;

    private DefinitionOutline(SourceText source, MapNode root)
    {
        this.source = source;
        this.root = root;
    }

    /// <summary>The outline of a text, or null where it is no mapping that could be added to.</summary>
    public static DefinitionOutline? Of(SourceText source)
    {
        ArgumentNullException.ThrowIfNull(source);
        return NodeComposer.Compose(source, new FaultList()) is MapNode root ? new DefinitionOutline(source, root) : null;
    }

    /// <summary>The keys of a mapping, in order.</summary>
    /// <param name="path">Keys from the top of the file.</param>
    public IReadOnlyList<string> Keys(params ReadOnlySpan<string> path) => Find(path) is { Node: MapNode map } ? [.. map.Entries.Select(entry => entry.Name)] : [];

    /// <summary>Where entries can be added to a mapping whose keys stand on lines of their own; null where it is missing, empty or written in braces.</summary>
    /// <param name="path">Keys from the top of the file.</param>
    public BlockEnd? EndOf(params ReadOnlySpan<string> path)
    {
        if (Find(path) is not { Node: MapNode { Entries: [var first, ..] } } found || !StandsAlone(first.Key))
        {
            return null;
        }

        return new BlockEnd(LastContentBefore(found.LineAfter, first.Key.Place.Line), first.Key.Place.Column - 1);
    }

    /// <summary>The last line of an entry of a mapping whose keys stand on lines of their own; null where there is no such entry.</summary>
    /// <param name="path">Keys from the top of the file, the entry's own last.</param>
    public int? LastLineOf(params ReadOnlySpan<string> path)
    {
        var name = path[^1];
        if (Find(path[..^1]) is not { Node: MapNode map } outer || map.Entries.FirstOrDefault(entry => entry.Name == name) is not { Key: { } key } || !StandsAlone(key))
        {
            return null;
        }

        var next = map.Entries.SkipWhile(entry => entry.Name != name).Skip(1).Select(entry => entry.Key.Place.Line).FirstOrDefault(outer.LineAfter);
        return LastContentBefore(next, key.Place.Line);
    }

    /// <summary>Where entries can be put before the first one of a mapping in braces; null where it is missing, empty or on lines of its own.</summary>
    /// <param name="path">Keys from the top of the file.</param>
    public (int Line, int Column)? InsideBraces(params ReadOnlySpan<string> path) =>
        Find(path) is { Node: MapNode { Entries: [var first, ..] } } && !StandsAlone(first.Key) ? (first.Key.Place.Line, first.Key.Place.Column) : null;

    // Follows the path; what is found ends before the next key of it or of whatever it stands in.
    private (Node Node, int LineAfter)? Find(ReadOnlySpan<string> path)
    {
        Node node = root;
        var after = int.MaxValue;
        foreach (var name in path)
        {
            if (node is not MapNode map)
            {
                return null;
            }

            var index = map.Entries.ToList().FindIndex(entry => entry.Name == name);
            if (index < 0)
            {
                return null;
            }

            after = index + 1 < map.Entries.Count ? map.Entries[index + 1].Key.Place.Line : after;
            node = map.Entries[index].Value;
        }

        return (node, after);
    }

    private bool StandsAlone(ScalarNode key) => string.IsNullOrWhiteSpace(source.Line(key.Place.Line)[..(key.Place.Column - 1)]);

    // Blank lines and comments before the next key belong to that key.
    private int LastContentBefore(int line, int first)
    {
        var last = Math.Min(line, source.LineCount + 1) - 1;
        while (last > first && IsBlank(source.Line(last)))
        {
            last--;
        }

        return last;
    }

    private static bool IsBlank(string line) => line.AsSpan().TrimStart() is { IsEmpty: true } or ['#', ..] or "---" or "...";
}

/// <summary>The end of a mapping whose keys stand on lines of their own.</summary>
/// <param name="Line">Its last line, behind which entries can be added.</param>
/// <param name="Indent">Blanks before its keys.</param>
public readonly record struct BlockEnd(int Line, int Indent);
