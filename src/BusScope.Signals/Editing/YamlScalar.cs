using BusScope.Signals.Loading;

namespace BusScope.Signals.Editing;

/// <summary>Texts as YAML reads them again: as they stand where it cannot take them for anything else, and in quotes otherwise (YAML 1.2, section 7.3).</summary>
public static class YamlScalar
{
    private static readonly HashSet<string> words = new(StringComparer.OrdinalIgnoreCase) { "yes", "no", "on", "off", "true", "false", "null", "nan", "inf" };

    /// <summary>A text: letters and strokes are themselves, but for the words of YAML.</summary>
    public static string Text(string text)
    {
        ArgumentNullException.ThrowIfNull(text);
        return text.Length > 1 && text.All(c => char.IsAsciiLetter(c) || c == '/') && char.IsAsciiLetter(text[0]) && !words.Contains(text) ? text : Quoted(text);
    }

    /// <summary>The name of a bus: those that are names in the way of other names are themselves.</summary>
    public static string BusName(string name) => Literal.IsName(name, inExpressions: false) && !words.Contains(name) ? name : Quoted(name);

    private static string Quoted(string text) => $"\"{text.Replace("\\", "\\\\", StringComparison.Ordinal).Replace("\"", "\\\"", StringComparison.Ordinal)}\"";
}
