using System.Globalization;
using System.Text;
using BusScope.Terminal.Drawing;
using Terminal.Gui.Drawing;
using Attribute = Terminal.Gui.Drawing.Attribute;

namespace BusScope.Terminal.Lifetime;

/// <summary>The control sequences that turn inks on (ECMA-48, 8.3.117 "select graphic rendition"; colours by ISO 8613-6).</summary>
internal sealed class InkCodes
{
    /// <summary>How many inks there are.</summary>
    public static readonly int Count = Enum.GetValues<Ink>().Length;

    private readonly string[] codes;
    private readonly bool[] hasPaper;

    /// <summary>The sequences of a theme.</summary>
    /// <param name="theme">How inks look.</param>
    /// <param name="hasFewColours">Whether the terminal knows the sixteen named colours alone.</param>
    public InkCodes(Theme theme, bool hasFewColours)
    {
        codes = new string[Count];
        hasPaper = new bool[Count];
        for (var ink = 0; ink < Count; ink++)
        {
            var look = theme[(Ink)ink];
            codes[ink] = Code(look, hasFewColours);
            hasPaper[ink] = look.Background != Color.None || (look.Style & (TextStyle.Reverse | TextStyle.Underline)) != 0;
        }
    }

    /// <summary>Turns an ink on and every other off.</summary>
    public string this[Ink ink] => codes[(int)ink];

    /// <summary>Whether a blank in this ink is seen.</summary>
    public bool HasPaper(Ink ink) => hasPaper[(int)ink];

    private static string Code(Attribute look, bool hasFewColours)
    {
        var code = new StringBuilder("\e[");
        foreach (var (style, number) in (ReadOnlySpan<(TextStyle, char)>)[(TextStyle.Bold, '1'), (TextStyle.Faint, '2'), (TextStyle.Underline, '4'), (TextStyle.Reverse, '7')])
        {
            _ = look.Style.HasFlag(style) ? code.Append(';').Append(number) : code;
        }

        Colour(code, look.Foreground, "38", 0, hasFewColours);
        Colour(code, look.Background, "48", 10, hasFewColours);
        return code.Append('m').ToString();
    }

    // Of the named colours those of the paper have numbers ten above those of the ink.
    private static void Colour(StringBuilder code, Color colour, string direct, int above, bool hasFewColours)
    {
        if (colour != Color.None)
        {
            _ = hasFewColours
                ? code.Append(CultureInfo.InvariantCulture, $";{(int)colour.GetAnsiColorCode() + above}")
                : code.Append(CultureInfo.InvariantCulture, $";{direct};2;{colour.R};{colour.G};{colour.B}");
        }
    }
}
