using BusScope.Frames.Diagnostics;
using YamlDotNet.Core;
using YamlDotNet.Core.Events;

namespace BusScope.Signals.Loading.Yaml;

/// <summary>
/// Parser events to nodes with places. Not the library's own node model: that stops at the first key met twice, and the
/// user is owed all faults at once; and here is where aliases are bounded.
/// </summary>
internal sealed class NodeComposer
{
    /// <summary>Deeper than any definition: a signal's range list stands at depth 7.</summary>
    public const int DeepestNesting = 32;

    private const int LargestTabSearch = 10_000;

    /// <summary>The most values that aliases may repeat, together.</summary>
    public const long LargestRepetition = 100_000;

    private readonly SourceText source;
    private readonly FaultList faults;
    private readonly Parser parser;
    private readonly Dictionary<string, Node> anchors = new(StringComparer.Ordinal);
    private long repeated;

    private NodeComposer(SourceText source, FaultList faults)
    {
        this.source = source;
        this.faults = faults;
        parser = new Parser(new StringReader(source.Text));
    }

    /// <summary>The value of the file's one document, or null with a fault.</summary>
    public static Node? Compose(SourceText source, FaultList faults)
    {
        var composer = new NodeComposer(source, faults);
        try
        {
            return composer.Document();
        }
        catch (Stop)
        {
            return null;
        }
        catch (YamlException fault)
        {
            composer.Syntax(fault);
            return null;
        }
        catch (Exception fault) when (fault is InvalidOperationException or ArgumentException or FormatException or OverflowException or IndexOutOfRangeException)
        {
            // The scanner lets some malformed texts out as its own slips; where it stood is the best place there is.
            faults.Add(Faults.YamlSyntax, composer.PlaceOf(parserMark(composer), 1), "the text cannot be read as YAML from here on", "is a bracket or a quote not closed?");
            return null;
        }

        static Mark parserMark(NodeComposer composer) => composer.parser.Current?.End ?? new Mark(0, 1, 1);
    }

    private Node? Document()
    {
        Node? root = null;
        while (parser.MoveNext())
        {
            switch (parser.Current)
            {
                case DocumentStart when root is not null:
                    faults.Add(Faults.SeveralDocuments, PlaceOf(parser.Current.Start, 3), "a second YAML document begins here; a definition file is one document", "split the file, or remove the line '---'");
                    return root;
                case NodeEvent:
                    root = Value(0);
                    break;
                case AnchorAlias:
                    _ = Alias((AnchorAlias)parser.Current);
                    return null;
                default:
                    break;
            }
        }

        if (root is null or ScalarNode { IsNothing: true })
        {
            faults.Add(Faults.FileEmpty, new TextPlace(source.FileName, 1, 1), "the file defines nothing", "start with 'busscope: 1'");
            return null;
        }

        return root;
    }

    // The parser stands on the value's first event, and on its last when this returns.
    private Node Value(int depth)
    {
        var start = parser.Current!;
        if (depth > DeepestNesting)
        {
            faults.Add(Faults.NestingTooDeep, PlaceOf(start.Start, 1), $"values are nested more than {DeepestNesting} deep here");
            throw new Stop();
        }

        if (start is NodeEvent { Tag.IsEmpty: false } tagged)
        {
            faults.Add(Faults.YamlTag, PlaceOf(start.Start, 1), $"a tag {FaultList.Quote(tagged.Tag.ToString())} here; definition files have no tags", "remove it; put a value that should be text in quotes");
        }

        var node = start switch
        {
            AnchorAlias alias => Alias(alias),
            Scalar scalar => ScalarOf(scalar),
            SequenceStart => List(depth),
            MappingStart => Map(depth),
            _ => throw new InvalidOperationException($"no value begins with {start.GetType().Name}"),
        };

        // Entered when complete, so that an alias inside its own anchor finds nothing instead of a ring.
        if (start is NodeEvent { Anchor.IsEmpty: false } anchored)
        {
            anchors[anchored.Anchor.Value] = node;
        }

        return node;
    }

    private ListNode List(int depth)
    {
        var start = parser.Current!.Start;
        var items = new List<Node>();
        while (Next() is not SequenceEnd)
        {
            items.Add(Value(depth + 1));
        }

        return new ListNode(PlaceOf(start, 1), items);
    }

    private MapNode Map(int depth)
    {
        var start = parser.Current!.Start;
        var entries = new NamedEntries();
        List<Entry>? repeated = null;
        while (Next() is not MappingEnd)
        {
            var key = Value(depth + 1);
            Next();
            var value = Value(depth + 1);
            if (key is not ScalarNode name)
            {
                faults.Add(Faults.WrongType, key.Place, $"found {key.Describe()} as a key; expected a name");
            }
            else if (!entries.TryAdd(new Entry(name, value)))
            {
                faults.Add(Faults.DuplicateKey, name.Place, $"{FaultList.Quote(name.Value)} stands here a second time", "keep one of the two", entries.Find(name.Value)!.Value.Key.Place);
                (repeated ??= []).Add(new Entry(name, value));
            }
        }

        return new MapNode(entries.All.Count > 0 ? entries.All[0].Key.Place : PlaceOf(start, 1), entries, repeated ?? (IReadOnlyList<Entry>)[]);
    }

    private ScalarNode ScalarOf(Scalar scalar)
    {
        var quoted = scalar.Style is ScalarStyle.SingleQuoted or ScalarStyle.DoubleQuoted;
        var from = (int)Math.Clamp(scalar.Start.Index, 0, source.Text.Length);
        var to = (int)Math.Clamp(scalar.End.Index, from, source.Text.Length);
        var written = source.Text.AsSpan(from, to - from);
        var value = scalar.Value ?? "";
        var verbatim = quoted
            ? written.Length == value.Length + 2 && written[1..^1].SequenceEqual(value)
            : written.SequenceEqual(value);
        var lineEnd = written.IndexOfAny('\r', '\n');
        return new ScalarNode(PlaceOf(scalar.Start, lineEnd < 0 ? written.Length : lineEnd), value, quoted, verbatim);
    }

    private Node Alias(AnchorAlias alias)
    {
        var place = PlaceOf(alias.Start, alias.Value.Value.Length + 1);
        if (!anchors.TryGetValue(alias.Value.Value, out var node))
        {
            faults.Add(Faults.AliasUnknown, place, $"no value above is marked with the anchor '&{CleanText.Clean(alias.Value.Value)}'", faults.Suggest(alias.Value.Value, anchors.Keys));
            throw new Stop();
        }

        repeated += node.Size;
        if (repeated > LargestRepetition)
        {
            faults.Add(Faults.AliasTooLarge, place, $"the aliases up to here repeat more than {LargestRepetition} values", "write the values out, or split the file");
            throw new Stop();
        }

        return node;
    }

    private ParsingEvent Next()
    {
        if (!parser.MoveNext())
        {
            throw new InvalidOperationException("the events end inside a value");
        }

        return parser.Current!;
    }

    private void Syntax(YamlException fault)
    {
        var place = PlaceOf(fault.Start, 1);
        var last = fault.Message.Contains("tab", StringComparison.Ordinal) ? place.Line + LargestTabSearch : place.Line;
        for (var number = place.Line; number <= last; number++)
        {
            var line = source.Line(number);
            var tab = line.AsSpan(0, line.Length - line.AsSpan().TrimStart().Length).IndexOf('\t');
            if (tab >= 0)
            {
                faults.Add(Faults.YamlTab, new TextPlace(source.FileName, number, tab + 1), "a tab stands in the indentation; YAML allows blanks only", "replace each tab by two blanks");
                return;
            }
        }

        faults.Add(Faults.YamlSyntax, place, $"the text is not YAML here: {CleanText.Clean(Lower(fault.InnerException?.Message ?? fault.Message))}", "look at the indentation, and for a missing quote, bracket or blank after a colon, here and in the line above");
    }

    private static string Lower(string message) => message.Length == 0 ? message : char.ToLowerInvariant(message[0]) + message[1..].TrimEnd('.');

    private TextPlace PlaceOf(Mark mark, int length) => new(source.FileName, (int)Math.Max(1, mark.Line), (int)Math.Max(1, mark.Column), Math.Max(1, length));

    /// <summary>Ends composing after a fault that leaves nothing to go on with; caught in <see cref="Compose"/>.</summary>
    private sealed class Stop : Exception;
}
