using BusScope.Signals.Definitions;
using BusScope.Signals.Loading;

namespace BusScope.Analysis.Learning;

/// <summary>How a definition file asks for a checksum that was found: by the catalogue's name, or by its parameters.</summary>
public static class ChecksumNames
{
    /// <summary>The name under which the catalogue has it, or null.</summary>
    public static string? Find(ChecksumDefinition checksum)
    {
        var mask = (1UL << checksum.Field.Length) - 1;
        return ChecksumCatalogue.All.FirstOrDefault(a => !a.IsProfile && a.Family == checksum.Family && (a.Crc is null
            ? a.Bits >= checksum.Field.Length && (a.Final & mask) == checksum.Final && (a.Start & mask) == checksum.Start
            : a.Crc == checksum.Crc))?.Name;
    }

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
            return $"polynomial: {BaselineText.Hex(crc.Polynomial, bytes)}, start: {BaselineText.Hex(crc.Start, bytes)}, final: {BaselineText.Hex(crc.Final, bytes)}"
                + (crc.Reflected ? ", reflected: true" : "");
        }

        // A sum or exclusive or with a constant of its own: the plain form, and the constant beside it.
        var plain = ChecksumCatalogue.All.First(a => a.Family == checksum.Family && a.Bits >= checksum.Field.Length && a is { Final: 0, Start: 0 });
        return $"algorithm: {plain.Name}, start: {checksum.Start}, final: {checksum.Final}";
    }
}
