using System.Globalization;
using BusScope.Signals.Definitions;
using BusScope.Signals.Editing;

namespace BusScope.Analysis.Learning.Writing;

/// <summary>Counters and checksums as keys of a definition file.</summary>
internal static class FieldText
{
    /// <summary>A counter.</summary>
    public static string Of(CounterDefinition counter)
    {
        var keys = SignalText.Place(counter.Field);
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
            return $"{SignalText.Place(checksum.Field)}, {profile}";
        }

        var keys = $"{SignalText.Place(checksum.Field)}, {ChecksumNames.Keys(checksum)}, over: {Over(checksum.Over)}";
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
