using BusScope.Signals.Definitions;
using BusScope.Signals.Loading;

namespace BusScope.Signals.Editing;

/// <summary>The text of a definition file with a signal more.</summary>
internal static class SignalFile
{
    private const int NoIndent = 2;

    /// <summary>A new file.</summary>
    /// <param name="known">What other files define.</param>
    /// <param name="wanted">The signal.</param>
    public static string Begin(DefinitionSet known, NewSignal wanted)
    {
        var buses = NeedsBus(known, wanted) ? $"buses:\n  {YamlScalar.BusName(wanted.Bus)}: {{}}\n\n" : "";
        return $"# Signals defined at the screen.\nbusscope: 1\n\n{buses}messages:\n\n{Entry(wanted, NoIndent, noRawRanges: false)}";
    }

    /// <summary>The text of a file with the signal added, or null where it is written in a way that nothing can be added to.</summary>
    /// <param name="source">The file.</param>
    /// <param name="known">What it and other files define.</param>
    /// <param name="message">The message of the file that it belongs to, or null for a new one.</param>
    /// <param name="wanted">The signal.</param>
    public static string? Add(SourceText source, DefinitionSet known, MessageDefinition? message, NewSignal wanted)
    {
        if (DefinitionOutline.Of(source) is not { } outline)
        {
            return null;
        }

        var rawRanges = outline.Keys("defaults").Contains("raw-ranges");
        var splices = new TextSplices();
        if (message is not null)
        {
            return SignalEntries.Put(outline, splices, message.Name, [new LineEntry(wanted.Signal.Name, SignalText.Of(wanted.Signal, rawRanges))]) ? splices.Apply(source) : null;
        }

        var ending = "";
        if (NeedsBus(known, wanted) && !Put(outline, splices, "buses", indent => $"{new string(' ', indent)}{YamlScalar.BusName(wanted.Bus)}: {{}}\n", ref ending)
            || !Put(outline, splices, "messages", indent => $"\n{Entry(wanted, indent, rawRanges)}", ref ending))
        {
            return null;
        }

        splices.Behind(source.LineCount, ending);
        return splices.Apply(source);
    }

    // Without the name of its bus a message is that of any lone bus.
    private static bool NamesBus(NewSignal wanted) => Literal.IsBusName(wanted.Bus);

    private static bool NeedsBus(DefinitionSet known, NewSignal wanted) => NamesBus(wanted) && known.Buses.All(bus => bus.Name != wanted.Bus);

    // Behind the last entry of a mapping at the top of the file; the mapping is begun at the end of the file where it is missing.
    private static bool Put(DefinitionOutline outline, TextSplices splices, string section, Func<int, string> entry, ref string ending)
    {
        if (outline.EndOf(section) is { } end)
        {
            splices.Behind(end.Line, entry(end.Indent));
            return true;
        }

        if (outline.Keys().Contains(section))
        {
            return false;
        }

        ending += $"\n{section}:\n{entry(NoIndent)}";
        return true;
    }

    private static string Entry(NewSignal wanted, int indent, bool noRawRanges)
    {
        var blanks = new string(' ', indent);
        string[] lines =
        [
            $"{wanted.Message}:",
            $"  id: {wanted.Id}",
            wanted.Id.IsExtended ? "  extended: true" : "",
            NamesBus(wanted) ? $"  bus: {YamlScalar.BusName(wanted.Bus)}" : "",
            "  signals:",
            $"    {wanted.Signal.Name}: {SignalText.Of(wanted.Signal, noRawRanges)}",
        ];
        return string.Concat(lines.Where(line => line.Length > 0).Select(line => $"{blanks}{line}\n"));
    }
}
