using BusScope.Signals.Definitions;
using BusScope.Signals.Loading.Yaml;

namespace BusScope.Signals.Loading.Binding;

/// <summary>Reads the numbers that a sender takes into its checksum and does not send.</summary>
internal static class DataIdBinder
{
    private static readonly (string, DataIdMode)[] modes =
        [("both", DataIdMode.Both), ("alternating", DataIdMode.Alternating), ("low", DataIdMode.Low), ("nibble", DataIdMode.Nibble)];

    /// <summary>The definition with its data ids; what does not go with the algorithm is reported.</summary>
    public static ChecksumDefinition Read(Section section, ChecksumDefinition definition, bool hasCounter, FaultList faults)
    {
        var (largest, needsOne, needsList) = definition.Family switch
        {
            ChecksumFamily.Crc => (ulong.MaxValue, false, false),
            ChecksumFamily.E2EProfile1 or ChecksumFamily.E2EProfile5 or ChecksumFamily.E2EProfile6 => (0xFFFFUL, true, false),
            ChecksumFamily.E2EProfile2 => (0xFFUL, false, true),
            ChecksumFamily.E2EProfile4 => (0xFFFF_FFFFUL, true, false),
            _ => (0UL, false, false),
        };
        var key = section.Has("data-ids") ? "data-ids" : "data-id";
        if (section.Has("data-id") && section.Has("data-ids"))
        {
            faults.Add(Faults.KeysContradict, section.KeyPlace("data-ids"), "'data-id' and 'data-ids' stand side by side", "keep one of the two", section.KeyPlace("data-id"));
        }
        else if (!section.Has(key) && (needsOne || needsList))
        {
            faults.Add(Faults.ChecksumDataId, section.Place, needsList ? $"{definition.Algorithm} needs 'data-ids', sixteen numbers" : $"{definition.Algorithm} needs 'data-id'");
        }
        else if (section.Has(key) && (largest == 0 || (needsOne && key == "data-ids") || (needsList && key == "data-id")))
        {
            faults.Add(Faults.ChecksumDataId, section.KeyPlace(key), $"'{key}' does not go with {definition.Algorithm}");
        }

        var ids = section.Items(key).Select(item => faults.Scalar(item, "whole number")).OfType<ScalarNode>().Select(item => faults.Whole(item, 0, largest == 0 ? ulong.MaxValue : largest)).ToList();
        if (key == "data-ids" && section.Has(key) && ids.Count != 16)
        {
            faults.Add(Faults.ChecksumDataId, section.KeyPlace(key), $"found {ids.Count} data ids; expected sixteen, one for each value of a counter of four bits");
        }

        var mode = section.Word("data-id-mode", modes) ?? DataIdMode.Both;
        if (section.Has("data-id-mode") && definition.Family != ChecksumFamily.E2EProfile1)
        {
            faults.Add(Faults.ChecksumDataId, section.KeyPlace("data-id-mode"), $"'data-id-mode' is of AUTOSAR E2E profile 1 and 11, not of {definition.Algorithm}");
        }

        foreach (var plain in (string[])["data-id-bytes", "data-id-first"])
        {
            if (section.Has(plain) && definition.Family != ChecksumFamily.Crc)
            {
                faults.Add(Faults.ChecksumDataId, section.KeyPlace(plain), $"'{plain}' is of a plain CRC, not of {definition.Algorithm}");
            }
        }

        // The profiles have a counter of their own, beside the checksum.
        if (!hasCounter && definition.Family == ChecksumFamily.Crc && key == "data-ids" && section.Has(key))
        {
            faults.Add(Faults.ChecksumDataId, section.KeyPlace(key), "which data id counts is said by the counter, but the message has no 'counter'");
        }

        return definition with
        {
            DataIds = [.. ids.Select(id => (ulong)(id ?? 0))],
            DataIdBytes = (int)(section.Whole("data-id-bytes", 1, 8) ?? 1),
            DataIdFirst = section.Flag("data-id-first") ?? false,
            DataIdMode = mode,
        };
    }
}
