using Terminal.Gui.Drawing;
using Attribute = Terminal.Gui.Drawing.Attribute;

namespace BusScope.Terminal.Drawing;

/// <summary>
/// How inks look: the palette of Okabe and Ito (Color Universal Design, 2008), whose colours people with any colour vision can
/// tell apart, on whatever background the terminal has; or without colour, by weight and reversal alone.
/// </summary>
internal sealed class Theme
{
    private readonly Attribute[] attributes;

    private Theme(params Attribute[] attributes) => this.attributes = attributes;

    /// <summary>With colours.</summary>
    public static Theme Coloured { get; } = Build(
        good: new Color(0, 158, 115),
        wary: new Color(230, 159, 0),
        bad: new Color(213, 94, 0),
        note: new Color(86, 180, 233),
        onBanner: new Color(0, 0, 0));

    /// <summary>Without: bold, faint, underlined and reversed only.</summary>
    public static Theme Monochrome { get; } = Build(Color.None, Color.None, Color.None, Color.None, Color.None);

    /// <summary>How an ink looks.</summary>
    public Attribute this[Ink ink] => attributes[(int)ink];

    private static Theme Build(Color good, Color wary, Color bad, Color note, Color onBanner)
    {
        var isMonochrome = good == Color.None;
        Attribute Text(Color colour, TextStyle style) => new(colour, Color.None, style);
        Attribute Banner(Color colour) => isMonochrome
            ? Text(Color.None, TextStyle.Bold | TextStyle.Reverse)
            : new Attribute(onBanner, colour, TextStyle.Bold);

        // In the order of Ink.
        return new Theme(
            Text(Color.None, TextStyle.None),
            Text(Color.None, TextStyle.Faint),
            Text(Color.None, TextStyle.Bold),
            Text(good, TextStyle.None),
            Text(wary, TextStyle.Bold),
            Text(bad, TextStyle.Bold),
            Text(note, TextStyle.None),
            Text(isMonochrome ? Color.None : wary, isMonochrome ? TextStyle.Underline : TextStyle.Bold),
            Text(Color.None, TextStyle.Reverse),
            Banner(good),
            Banner(bad),
            Banner(note),
            Text(Color.None, TextStyle.Bold));
    }
}
