using System.Globalization;
using BusScope.Signals.Definitions;

namespace BusScope.Analysis.Learning.Writing;

/// <summary>Fields, counters and checksums as keys of a definition file.</summary>
internal static class FieldText
{
    /// <summary>The keys that say where a field stands, whatever byte order the file has as its default.</summary>
    public static string Of(BitField field)
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

    /// <summary>A counter.</summary>
    public static string Of(CounterDefinition counter)
    {
        var keys = Of(counter.Field);
        keys += counter.Step == 1 ? "" : Invariant($", step: {counter.Step}");
        return keys + (counter.Modulo == 1 << counter.Field.Length ? "" : Invariant($", modulo: {counter.Modulo}"));
    }

    /// <summary>A checksum.</summary>
    /// <param name="checksum">The checksum.</param>
    /// <param name="length">The length of its message in bytes.</param>
    public static string Of(ChecksumDefinition checksum, int length)
    {
        if (ChecksumNames.FindProfile(checksum, length) is { } profile)
        {
            return $"{Of(checksum.Field)}, {profile}";
        }

        var keys = $"{Of(checksum.Field)}, {ChecksumNames.Keys(checksum)}, over: {Over(checksum.Over)}";
        keys += checksum.DataIds.Count switch
        {
            0 => "",
            1 => $", data-id: {Hex(checksum.DataIds[0], checksum.DataIdBytes)}",
            _ => $", data-ids: [{string.Join(", ", checksum.DataIds.Select(id => Hex(id, checksum.DataIdBytes)))}]",
        };
        keys += checksum.DataIds.Count == 0 || checksum.DataIdBytes == 1 ? "" : Invariant($", data-id-bytes: {checksum.DataIdBytes}");
        return keys + (checksum.DataIdFirst ? ", data-id-first: true" : "");
    }

    /// <summary>Byte ranges: one as it is, several as a list.</summary>
    public static string Over(IReadOnlyList<ByteRange> ranges)
    {
        var texts = ranges.Select(range => range.From == range.To ? Invariant($"{range.From}") : Invariant($"{range.From}..{range.To}")).ToList();
        return texts.Count == 1 ? texts[0] : $"[{string.Join(", ", texts)}]";
    }

    /// <summary>A number of so many bytes in hexadecimal.</summary>
    public static string Hex(ulong value, int bytes) => "0x" + value.ToString($"X{2 * bytes}", CultureInfo.InvariantCulture);

    private static string Invariant(FormattableString text) => FormattableString.Invariant(text);
}
