using System.Text;

namespace BusScope.Frames.Diagnostics;

/// <summary>
/// Text from outside (names in files, comments, interface descriptions) made safe for a terminal: control characters, among
/// them the escape that starts a terminal's commands, and the marks that turn the writing direction become visible escapes.
/// </summary>
public static class CleanText
{
    /// <summary>The text with every control and direction mark written as <c>\u001B</c>; the same object when it has none.</summary>
    public static string Clean(string text)
    {
        ArgumentNullException.ThrowIfNull(text);
        var first = 0;
        while (first < text.Length && !IsUnsafe(text[first]))
        {
            first++;
        }

        if (first == text.Length)
        {
            return text;
        }

        var clean = new StringBuilder(text.Length + 16).Append(text, 0, first);
        foreach (var c in text.AsSpan(first))
        {
            _ = IsUnsafe(c) ? clean.Append($"\\u{(int)c:X4}") : clean.Append(c);
        }

        return clean.ToString();
    }

    // C0 and C1 controls; line and paragraph separators; bidirectional marks, embeddings, overrides and isolates; lone surrogates are left to the encoder.
    private static bool IsUnsafe(char c) => char.IsControl(c) || c is '\u2028' or '\u2029' or '\u200E' or '\u200F' or (>= '\u202A' and <= '\u202E') or (>= '\u2066' and <= '\u2069') or '\uFEFF';
}
