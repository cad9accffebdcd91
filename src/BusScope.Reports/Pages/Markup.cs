using System.Text;
using System.Text.Encodings.Web;
using System.Text.Unicode;
using BusScope.Frames.Diagnostics;

namespace BusScope.Reports.Pages;

/// <summary>
/// Writes HTML that is well-formed XML as well: every element is closed, every text and attribute is cleaned of control characters
/// and encoded. Only <see cref="Raw"/> takes markup, and only the program's own.
/// </summary>
internal sealed class Markup(TextWriter output)
{
    private static readonly HtmlEncoder Encoder = HtmlEncoder.Create(UnicodeRanges.All);

    /// <summary>A text as it may stand between tags and in attributes.</summary>
    public static string Encoded(string text) => Encoder.Encode(WithoutNonCharacters(CleanText.Clean(text)));

    /// <summary>An element with a text.</summary>
    public void Element(string name, string? kind, string text) => Element(name, kind, () => Text(text));

    /// <summary>An element with what is written inside.</summary>
    /// <param name="name">Its name.</param>
    /// <param name="kind">Its class, or null.</param>
    /// <param name="content">Writes what is inside.</param>
    /// <param name="attributes">Further attributes: name and text, the latter encoded here.</param>
    public void Element(string name, string? kind, Action content, params ReadOnlySpan<(string Name, string Text)> attributes)
    {
        output.Write($"<{name}");
        if (kind is not null)
        {
            output.Write($" class=\"{Encoded(kind)}\"");
        }

        foreach (var (attribute, text) in attributes)
        {
            output.Write($" {attribute}=\"{Encoded(text)}\"");
        }

        output.Write('>');
        content();
        output.Write($"</{name}>");
    }

    /// <summary>Text.</summary>
    public void Text(string text) => output.Write(Encoded(text));

    /// <summary>Markup of the program's own making.</summary>
    public void Raw(string markup) => output.Write(markup);

    /// <summary>A line end between elements, for those who read the source.</summary>
    public void Line() => output.Write('\n');

    // U+FFFE and U+FFFF stand in no XML document, not even as references (XML 1.0, section 2.2); U+0000 to U+001F are cleaned already.
    private static string WithoutNonCharacters(string text) =>
        text.AsSpan().IndexOfAny('\uFFFE', '\uFFFF') < 0 ? text : new StringBuilder(text).Replace('\uFFFE', '\uFFFD').Replace('\uFFFF', '\uFFFD').ToString();
}
