namespace BusScope.Reports.Layout;

/// <summary>Colour on paper that may have none: words carry the meaning, colour only finds them faster.</summary>
/// <param name="inColour">Whether the text goes to a terminal that wants colour.</param>
public sealed class Ink(bool inColour)
{
    /// <summary>No colour at all.</summary>
    public static Ink Plain { get; } = new(false);

    /// <summary>What stands out.</summary>
    public string Strong(string text) => Wrapped(text, "1");

    /// <summary>What is well.</summary>
    public string Good(string text) => Wrapped(text, "1;32");

    /// <summary>What is wrong.</summary>
    public string Bad(string text) => Wrapped(text, "1;31");

    /// <summary>What is open.</summary>
    public string Open(string text) => Wrapped(text, "1;33");

    /// <summary>What is only for those who look closer.</summary>
    public string Faint(string text) => Wrapped(text, "2");

    // Select Graphic Rendition, ECMA-48 section 8.3.117.
    private string Wrapped(string text, string rendition) => inColour ? $"\u001B[{rendition}m{text}\u001B[0m" : text;
}
