using System.Globalization;
using BusScope.Signals.Definitions;

namespace BusScope.Signals.Editing;

/// <summary>Signals as a definition file says them.</summary>
public static class SignalText
{
    /// <summary>The keys that say where a field stands, whatever byte order the file has as its default.</summary>
    public static string Place(BitField field)
    {
        if (field.FirstByte == field.LastByte)
        {
            var low = field.LeastSignificant.Bit;
            return field.Length == 8 ? Invariant($"byte: {field.FirstByte}")
                : field.Length == 1 ? Invariant($"byte: {field.FirstByte}, bits: {low}")
                : Invariant($"byte: {field.FirstByte}, bits: {low}..{low + field.Length - 1}");
        }

        var order = field.Order == ByteOrder.Big ? "big" : "little";
        return field.Length % 8 == 0 && field.BitsBeforeStart == 0
            ? Invariant($"bytes: {field.FirstByte}..{field.LastByte}, order: {order}")
            : field.Order == ByteOrder.Big
                ? Invariant($"msb: {field.Start}, length: {field.Length}, order: {order}")
                : Invariant($"lsb: {field.Start}, length: {field.Length}, order: {order}");
    }

    /// <summary>What stands behind the name of a signal: a mapping in braces, on one line.</summary>
    /// <param name="signal">A whole number with scale, offset and unit; nothing else of it is written.</param>
    /// <param name="noRawRanges">Whether its file has special raw values as its default, which this signal has not.</param>
    public static string Of(SignalDefinition signal, bool noRawRanges)
    {
        ArgumentNullException.ThrowIfNull(signal);
        var text = Place(signal.Field);
        text += signal.Encoding == SignalEncoding.Signed ? ", signed: true" : "";
        text += signal.Scale == 1 ? "" : Invariant($", scale: {signal.Scale:R}");
        text += signal.Offset == 0 ? "" : Invariant($", offset: {signal.Offset:R}");
        text += signal.Unit is null ? "" : $", unit: {YamlScalar.Text(signal.Unit)}";
        return $"{{ {text}{(noRawRanges ? ", raw-ranges: none" : "")} }}";
    }

    private static string Invariant(FormattableString text) => text.ToString(CultureInfo.InvariantCulture);
}
