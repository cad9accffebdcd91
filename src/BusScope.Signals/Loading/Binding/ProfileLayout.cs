using BusScope.Signals.Definitions;

namespace BusScope.Signals.Loading.Binding;

/// <summary>Checks what an AUTOSAR E2E profile fixes around its checksum (PRS_E2EProtocol).</summary>
internal static class ProfileLayout
{
    /// <summary>Reports a header that has no room, and keys that a profile leaves no choice in.</summary>
    public static void Check(Section section, ChecksumDefinition definition, IReadOnlyList<ByteRange> over, int? length, bool hasCounter, FaultList faults)
    {
        var field = definition.Field;
        var place = section.Place;
        if (section.Has("over") && !CoversTheRest(definition, over, length))
        {
            faults.Add(Faults.KeysContradict, section.KeyPlace("over"), $"{definition.Algorithm} covers the whole payload but its checksum; 'over' says otherwise", "remove 'over'");
        }

        if (field.BitsBeforeStart != 0)
        {
            faults.Add(Faults.ChecksumLayout, place, $"{definition.Algorithm} sends its checksum in whole bytes; it starts in the middle of byte {field.FirstByte} here");
        }

        // Bytes that the profile's header has before and after the checksum.
        var (before, after, what) = definition.Family switch
        {
            ChecksumFamily.E2EProfile4 => (8, 0, "length, counter and data id in the 8 bytes before its checksum"),
            ChecksumFamily.E2EProfile6 => (0, 2, "the length in the 2 bytes behind its checksum"),
            ChecksumFamily.E2EProfile1 when definition.DataIdMode == DataIdMode.Nibble => (0, 1, "a part of the data id in the byte behind its checksum"),
            ChecksumFamily.E2EProfile1 or ChecksumFamily.E2EProfile2 when !hasCounter => (0, 1, "its counter in the byte behind its checksum"),
            _ => (0, 0, ""),
        };
        if (field.FirstByte < before || (length is { } bytes && field.LastByte + after >= bytes))
        {
            faults.Add(Faults.ChecksumLayout, place, $"{definition.Algorithm} sends {what}, but there is no room for it");
        }
    }

    // To write out what the profile covers anyway is no fault; with or without the checksum's own bytes, which count for nothing.
    private static bool CoversTheRest(ChecksumDefinition definition, IReadOnlyList<ByteRange> over, int? length)
    {
        var covered = over.SelectMany(range => Enumerable.Range(range.From, range.To - range.From + 1)).Where(IsOther);
        var rest = Enumerable.Range(0, length ?? (over.Count == 0 ? 0 : over.Max(range => range.To) + 1)).Where(IsOther);
        return covered.SequenceEqual(rest);

        bool IsOther(int at) => at < definition.Field.FirstByte || at > definition.Field.LastByte;
    }
}
