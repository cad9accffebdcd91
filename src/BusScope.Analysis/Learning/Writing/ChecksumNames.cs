using BusScope.Signals.Definitions;
using BusScope.Signals.Loading;

namespace BusScope.Analysis.Learning.Writing;

/// <summary>How a definition file asks for a checksum that was found: by the catalogue's name, by an AUTOSAR E2E profile, or by its parameters.</summary>
public static class ChecksumNames
{
    /// <summary>The name under which the catalogue has it, or null.</summary>
    public static string? Find(ChecksumDefinition checksum)
    {
        ArgumentNullException.ThrowIfNull(checksum);
        var mask = (1UL << checksum.Field.Length) - 1;
        return ChecksumCatalogue.All.FirstOrDefault(a => !a.IsProfile && a.Family == checksum.Family && (a.Crc is null
            ? a.Bits >= checksum.Field.Length && (a.Final & mask) == checksum.Final && (a.Start & mask) == checksum.Start
            : a.Crc == checksum.Crc))?.Name;
    }

    /// <summary>The kind of checksum where the catalogue has no name for it: <c>crc8</c>, or the plain form that a constant was added to.</summary>
    public static string Plain(ChecksumDefinition checksum)
    {
        ArgumentNullException.ThrowIfNull(checksum);
        return checksum.Crc is { } crc
            ? $"crc{crc.Width}"
            : ChecksumCatalogue.All.First(a => a.Family == checksum.Family && a.Bits >= checksum.Field.Length && a is { Final: 0, Start: 0 }).Name;
    }

    /// <summary>
    /// The keys of the AUTOSAR E2E profile that it is, or null: profile 1 with its data id in alternation, profile 2 with its sixteen data ids, profile 5
    /// with its one. (The data id of the others is not to be told from another start value.)
    /// </summary>
    /// <param name="checksum">The checksum.</param>
    /// <param name="length">The length of its message in bytes.</param>
    internal static string? FindProfile(ChecksumDefinition checksum, int length)
    {
        if (checksum is not { Crc: { } crc, DataIds: { Count: > 0 } ids } || checksum.Over.Sum(range => range.To - range.From + 1) != length - (checksum.Field.Length / 8))
        {
            return null;
        }

        return (ids.Count, checksum.DataIdFirst, crc) switch
        {
            (16, true, { Width: 8, Polynomial: 0x1D, Start: 0, Final: 0, Reflected: false }) when Alternates(ids) =>
                $"algorithm: e2e-p1, data-id: {FieldText.Hex((ids[1] << 8) | ids[0], 2)}, data-id-mode: alternating",
            (16, false, { Width: 8, Polynomial: 0x2F, Start: 0xFF, Final: 0xFF, Reflected: false }) =>
                $"algorithm: e2e-p2, data-ids: [{string.Join(", ", ids.Select(id => FieldText.Hex(id, 1)))}]",
            (1, false, { Width: 16, Polynomial: 0x1021, Start: 0xFFFF, Final: 0, Reflected: false }) when checksum.Field.Order == ByteOrder.Little =>
                $"algorithm: e2e-p5, data-id: {FieldText.Hex(ids[0], 2)}",
            _ => null,
        };
    }

    // A counter of profile 1 has no value 15, so nothing is known of the last one.
    private static bool Alternates(IReadOnlyList<ulong> ids) => Enumerable.Range(2, ids.Count - 3).All(i => ids[i] == ids[i - 2]);

    /// <summary>The keys that say how it is computed.</summary>
    internal static string Keys(ChecksumDefinition checksum)
    {
        if (Find(checksum) is { } name)
        {
            return $"algorithm: {name}";
        }

        if (checksum.Crc is { } crc)
        {
            var bytes = crc.Width / 8;
            return $"polynomial: {FieldText.Hex(crc.Polynomial, bytes)}, start: {FieldText.Hex(crc.Start, bytes)}, final: {FieldText.Hex(crc.Final, bytes)}"
                + (crc.Reflected ? ", reflected: true" : "");
        }

        // A sum or exclusive or with a constant of its own: the plain form, and the constant beside it.
        return $"algorithm: {Plain(checksum)}, start: {checksum.Start}, final: {checksum.Final}";
    }
}
