using System.Text;
using BusScope.Frames.Diagnostics;

namespace BusScope.Signals.Loading;

/// <summary>
/// A diagnostic as lines of text: place, severity, code and message; the line with the fault underlined; hint and second place.
/// Everything from outside is cleaned, so that a definition file cannot command a terminal.
/// </summary>
public static class DiagnosticText
{
    private const int WidestExcerpt = 100;

    // Further places of one cause that are named; the rest are counted.
    private const int MostPlaces = 8;

    /// <summary>All diagnostics, a blank line between them. One cause in several places is told once, with the others named below it.</summary>
    /// <param name="diagnostics">In the order to be shown.</param>
    /// <param name="sources">The texts that they are about; without its text a diagnostic has no excerpt.</param>
    public static string Render(IEnumerable<Diagnostic> diagnostics, IReadOnlyList<SourceText> sources)
    {
        ArgumentNullException.ThrowIfNull(diagnostics);
        return string.Join('\n', diagnostics
            .GroupBy(diagnostic => (diagnostic.Code, diagnostic.Severity, diagnostic.Message, diagnostic.Hint))
            .Select(cause => Render(cause.First(), sources) + Further([.. cause.Skip(1).Select(diagnostic => diagnostic.Place)])));
    }

    /// <summary>One diagnostic, each line ended by a line feed.</summary>
    public static string Render(Diagnostic diagnostic, IReadOnlyList<SourceText> sources)
    {
        ArgumentNullException.ThrowIfNull(diagnostic);
        ArgumentNullException.ThrowIfNull(sources);
        var text = new StringBuilder();
        var severity = diagnostic.Severity switch { Severity.Error => "error", Severity.Warning => "warning", _ => "note" };
        text.Append($"{Clean(diagnostic.Place)}: {severity} {diagnostic.Code}: {CleanText.Clean(diagnostic.Message)}\n");
        Excerpt(text, diagnostic.Place, sources);
        if (diagnostic.Hint is { } hint)
        {
            text.Append($"  hint: {CleanText.Clean(hint)}\n");
        }

        if (diagnostic.Related is { } related)
        {
            text.Append($"  see {Clean(related)}:\n");
            Excerpt(text, related, sources);
        }

        return text.ToString();
    }

    private static string Further(IReadOnlyList<TextPlace> places) => places.Count == 0 ? ""
        : $"  and at {places.Count} further {(places.Count == 1 ? "place" : "places")}: {string.Join(", ", places.Take(MostPlaces).Select(Clean))}{(places.Count > MostPlaces ? ", ..." : "")}\n";

    private static string Clean(TextPlace place) => CleanText.Clean(place.ToString());

    private static void Excerpt(StringBuilder text, TextPlace place, IReadOnlyList<SourceText> sources)
    {
        var line = sources.FirstOrDefault(source => source.FileName == place.File)?.Line(place.Line) ?? "";
        if (string.IsNullOrWhiteSpace(line))
        {
            return;
        }

        // Of a very long line, the part around the fault.
        var at = Math.Clamp(place.Column - 1, 0, line.Length);
        var from = line.Length <= WidestExcerpt || at < WidestExcerpt / 2 ? 0 : Math.Min(at - (WidestExcerpt / 2), line.Length - WidestExcerpt);
        var shown = Visible(line.AsSpan(from, Math.Min(WidestExcerpt, line.Length - from)));
        var length = Math.Clamp(place.Length, 1, Math.Max(1, Math.Min(line.Length, from + WidestExcerpt) - at));
        var number = place.Line.ToString().PadLeft(5);
        text.Append($"{number} | {(from > 0 ? "..." : "")}{shown}{(from + WidestExcerpt < line.Length ? "..." : "")}\n");
        text.Append(' ', 6).Append("| ").Append(' ', at - from + (from > 0 ? 3 : 0)).Append('^', length).Append('\n');
    }

    // One character for one character, or the underline would stand beside the fault.
    private static string Visible(ReadOnlySpan<char> line)
    {
        var visible = new char[line.Length];
        for (var i = 0; i < line.Length; i++)
        {
            var c = line[i].ToString();
            visible[i] = line[i] == '\t' ? ' ' : ReferenceEquals(CleanText.Clean(c), c) ? line[i] : '?';
        }

        return new string(visible);
    }
}
