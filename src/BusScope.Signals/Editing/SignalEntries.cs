namespace BusScope.Signals.Editing;

/// <summary>A line of a mapping.</summary>
/// <param name="Key">The key.</param>
/// <param name="Value">Its value as YAML, on one line.</param>
public readonly record struct LineEntry(string Key, string Value)
{
    /// <summary>The line without its indentation.</summary>
    public override string ToString() => $"{Key}: {Value}";
}

/// <summary>Puts signals below a message of a file, wherever the file has room for them: on lines of their own, in braces, or as its first ones.</summary>
public static class SignalEntries
{
    /// <summary>Adds signals behind those that are there.</summary>
    /// <param name="outline">Where things stand in the file.</param>
    /// <param name="splices">What is added to it.</param>
    /// <param name="message">The name of a message of the file.</param>
    /// <param name="entries">The signals, at least one.</param>
    /// <returns>False where the message is written in a way that nothing can be added to; nothing was added then.</returns>
    public static bool Put(DefinitionOutline outline, TextSplices splices, string message, IReadOnlyList<LineEntry> entries)
    {
        ArgumentNullException.ThrowIfNull(outline);
        ArgumentNullException.ThrowIfNull(splices);
        ArgumentNullException.ThrowIfNull(entries);
        if (outline.EndOf("messages", message, "signals") is { } end)
        {
            splices.Behind(end.Line, string.Concat(entries.Select(entry => $"{new string(' ', end.Indent)}{entry}\n")));
            return true;
        }

        if (outline.InsideBraces("messages", message, "signals") is var (line, column))
        {
            splices.Before(line, column, string.Concat(entries.Select(entry => $"{entry}, ")));
            return true;
        }

        if (outline.Keys("messages", message).Contains("signals"))
        {
            return false;
        }

        if (outline.EndOf("messages", message) is { } last)
        {
            var blanks = new string(' ', last.Indent);
            splices.Behind(last.Line, $"{blanks}signals:\n{string.Concat(entries.Select(entry => $"{blanks}  {entry}\n"))}");
            return true;
        }

        if (outline.InsideBraces("messages", message) is var (inLine, inColumn))
        {
            splices.Before(inLine, inColumn, $"signals: {{ {string.Join(", ", entries)} }}, ");
            return true;
        }

        return false;
    }
}
