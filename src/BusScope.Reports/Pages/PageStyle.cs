using System.Text;

namespace BusScope.Reports.Pages;

/// <summary>How a page looks: one style sheet for screen, telephone and paper, carried inside the page.</summary>
internal static class PageStyle
{
    /// <summary>The style sheet.</summary>
    public static string Sheet { get; } = Read();

    /// <summary>What stands at the head and the foot of every printed page (CSS Paged Media Module, margin boxes).</summary>
    /// <param name="left">On the left.</param>
    /// <param name="right">On the right.</param>
    public static string Running(string left, string right) =>
        $"@page{{@top-left{{content:{Quoted(left)}}}@top-right{{content:{Quoted(right)}}}}}";

    // Everything but letters and digits as an escape (CSS Syntax Module, section 4.3.7), so that no text can end the string or the style.
    private static string Quoted(string text)
    {
        var quoted = new StringBuilder("\"");
        foreach (var rune in Frames.Diagnostics.CleanText.Clean(text).EnumerateRunes())
        {
            _ = rune.IsAscii && Rune.IsLetterOrDigit(rune) ? quoted.Append((char)rune.Value) : quoted.Append($"\\{rune.Value:x} ");
        }

        return quoted.Append('"').ToString();
    }

    private static string Read()
    {
        using var stream = typeof(PageStyle).Assembly.GetManifestResourceStream("page.css") ?? throw new InvalidOperationException("the program lacks page.css");
        using var reader = new StreamReader(stream, Encoding.UTF8);
        return reader.ReadToEnd();
    }
}
