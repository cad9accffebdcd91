using System.Globalization;
using BusScope.Signals.Definitions;
using BusScope.Signals.Plans;

namespace BusScope.Terminal.Drawing;

/// <summary>Values of signals as a person reads them, written without allocating.</summary>
internal static class Values
{
    private const int MostDecimals = 4;

    // A longer number is better read with an exponent than cut.
    private const int LongestNumber = 16;

    /// <summary>How many decimals show every step of a signal.</summary>
    public static int Decimals(SignalDefinition definition) =>
        definition.Encoding == SignalEncoding.Float ? 3 : Figures.Decimals(definition.Scale, definition.Offset);

    /// <summary>The ink of a reading by what it is worth.</summary>
    public static Ink InkOf(SampleQuality quality) => quality switch
    {
        SampleQuality.Ok => Ink.Strong,
        SampleQuality.Stale or SampleQuality.NotAvailable or SampleQuality.Absent => Ink.Quiet,
        SampleQuality.Error => Ink.Bad,
        _ => Ink.Wary,
    };

    /// <summary>Writes a value in the form of a unit, without the unit, right-aligned in a field where one is given; a dash for none.</summary>
    public static void Value(ref this Pen pen, double value, int decimals, UnitForm form, Ink ink, int width = 0)
    {
        Span<char> text = stackalloc char[48];
        if (double.IsNaN(value))
        {
            pen.Figure("-", Ink.Quiet, width);
            return;
        }

        var longest = width == 0 ? LongestNumber : width;
        var length = 0;
        for (var tried = Math.Min(MostDecimals, decimals + form.MoreDecimals); tried >= 0; tried--)
        {
            if (Format(form.Of(value), tried, text, out length) && length <= longest)
            {
                break;
            }
        }

        if (length > longest)
        {
            _ = form.Of(value).TryFormat(text, out length, longest < 12 ? "G4" : "G7", CultureInfo.InvariantCulture);
        }

        pen.Figure(text[..length], ink, width);
    }

    private static bool Format(double value, int decimals, Span<char> text, out int length)
    {
        Span<char> format = ['F', (char)('0' + decimals)];
        return value.TryFormat(text, out length, format, CultureInfo.InvariantCulture);
    }
}
