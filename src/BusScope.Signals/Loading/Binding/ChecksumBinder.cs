using BusScope.Frames;
using BusScope.Signals.Definitions;
using BusScope.Signals.Loading.Yaml;

namespace BusScope.Signals.Loading.Binding;

/// <summary>Reads the checksum of a message.</summary>
internal static class ChecksumBinder
{
    /// <summary>The checksum, or null.</summary>
    public static (ChecksumDefinition Checksum, PlacedField Field)? Read(Section message, FileBinding file, int? length, bool hasCounter)
    {
        if (message.Find("checksum") is not { } node)
        {
            return null;
        }

        var faults = file.Faults;
        var section = new Section(node, message.KeyPlace("checksum"), DefinitionKeys.Checksum, faults);
        if (node is not MapNode)
        {
            return null;
        }

        var algorithm = Algorithm(section, faults);
        var read = FieldBinder.Read(section, file);
        var over = section.Has("over") ? RangeReading.ByteRanges(faults, section.Items("over"), length ?? Payload.Capacity) : null;
        if (read is not { } placed || !FieldBinder.Fits(placed, length, "the checksum", faults) || (section.Has("over") && over is null))
        {
            return null;
        }

        placed = placed with { Field = ProfileOrder(section, algorithm, placed, faults) };
        var definition = Sum(section, algorithm, placed, faults);
        if (definition is null)
        {
            return null;
        }

        definition = DataIdBinder.Read(section, definition, hasCounter, faults);
        if (algorithm is { IsProfile: true })
        {
            ProfileLayout.Check(section, definition, over ?? [], length, hasCounter, faults);
        }

        over ??= Others(placed.Field, length, definition.Family);
        if (over.Count == 0 && algorithm is not { IsProfile: true })
        {
            faults.Add(Faults.ChecksumCoversNothing, section.KeyPlace("over"), "the checksum covers no byte", length is null ? "write 'over: 0..6', or give the message a 'length'" : "write the bytes it covers, for example 'over: 0..6'");
            return null;
        }

        return (definition with { Over = over }, placed);
    }

    private static ChecksumAlgorithm? Algorithm(Section section, FaultList faults)
    {
        var scalar = section.Scalar("algorithm");
        if (scalar is not null && section.Has("polynomial"))
        {
            faults.Add(Faults.KeysContradict, section.KeyPlace("polynomial"), "'algorithm' and 'polynomial' both say how the checksum is computed", "keep one of the two", section.KeyPlace("algorithm"));
            return null;
        }

        if (scalar is null)
        {
            if (!section.Has("algorithm") && !section.Has("polynomial"))
            {
                faults.Add(Faults.MissingKey, section.Place, "a checksum needs 'algorithm', or 'polynomial' for an own CRC", "for example 'algorithm: crc8-sae-j1850'");
            }

            return null;
        }

        var found = ChecksumCatalogue.Find(scalar.Value);
        if (found is null)
        {
            faults.Add(Faults.UnknownAlgorithm, scalar.Place, $"found {scalar.Describe()}; expected the name of a checksum algorithm", faults.Suggest(scalar.Value, ChecksumCatalogue.All.Select(each => each.Name)) ?? "docs/signal-definitions.md lists them; 'polynomial' describes an own CRC");
        }

        return found;
    }

    // Profile 5 sends its CRC low byte first, 4 and 6 high byte first, whatever the order of the file.
    private static BitField ProfileOrder(Section section, ChecksumAlgorithm? algorithm, PlacedField placed, FaultList faults)
    {
        var field = placed.Field;
        ByteOrder? order = algorithm?.Family switch
        {
            ChecksumFamily.E2EProfile5 => ByteOrder.Little,
            ChecksumFamily.E2EProfile4 or ChecksumFamily.E2EProfile6 => ByteOrder.Big,
            _ => null,
        };
        if (order is not { } fixedOrder || field.Order == fixedOrder)
        {
            return field;
        }

        if (section.Has("order") || !section.Has("bytes"))
        {
            faults.Add(Faults.ChecksumLayout, section.Has("order") ? section.ValuePlace("order") : placed.Place, $"{algorithm!.Name} sends its checksum {(fixedOrder == ByteOrder.Big ? "high" : "low")} byte first", $"write 'order: {(fixedOrder == ByteOrder.Big ? "big" : "little")}', or leave it out with 'bytes'");
            return field;
        }

        return field with { Start = new BitPosition(field.FirstByte, fixedOrder == ByteOrder.Big ? 7 : 0), Order = fixedOrder };
    }

    private static ChecksumDefinition? Sum(Section section, ChecksumAlgorithm? algorithm, PlacedField placed, FaultList faults)
    {
        var bits = placed.Field.Length;
        var mask = bits >= 64 ? ulong.MaxValue : (1UL << bits) - 1;
        if (bits > 64)
        {
            faults.Add(Faults.ChecksumWidth, placed.Place, $"a checksum of {bits} bits; expected at most 64");
            return null;
        }

        if (section.Has("polynomial"))
        {
            var width = (int)(section.Whole("width", 3, 64) ?? bits);
            var register = width >= 64 ? ulong.MaxValue : (1UL << width) - 1;
            var polynomial = section.Whole("polynomial", 1, register);
            var crc = new CrcParameters(width, (ulong)(polynomial ?? 1), (ulong)(section.Whole("start", 0, register) ?? 0), (ulong)(section.Whole("final", 0, register) ?? 0), section.Flag("reflected") ?? false);
            return algorithm is null && WidthIs(width, bits, "the polynomial's register", placed, faults)
                ? new ChecksumDefinition(ChecksumFamily.Crc, placed.Field) { Algorithm = "polynomial", Crc = crc }
                : null;
        }

        if (algorithm is null)
        {
            return null;
        }

        var takesStart = algorithm.Crc is null && !algorithm.IsProfile;
        foreach (var key in (string[])["width", "reflected", .. takesStart ? (string[])[] : ["start", "final"]])
        {
            if (section.Has(key))
            {
                faults.Add(Faults.KeysContradict, section.KeyPlace(key), $"{algorithm.Name} has its own '{key}'", "describe an own CRC by 'polynomial' instead of 'algorithm'");
            }
        }

        var fits = takesStart ? bits <= algorithm.Bits : bits == algorithm.Bits;
        if (!fits)
        {
            _ = WidthIs(algorithm.Bits, bits, algorithm.Name, placed, faults);
            return null;
        }

        return new ChecksumDefinition(algorithm.Family, placed.Field)
        {
            Algorithm = algorithm.Name,
            Crc = algorithm.Crc,
            Final = takesStart ? (ulong)(section.Whole("final", 0, mask) ?? algorithm.Final & mask) : 0,
            Start = takesStart ? (ulong)(section.Whole("start", 0, mask) ?? algorithm.Start & mask) : 0,
        };
    }

    private static bool WidthIs(int width, int bits, string what, PlacedField placed, FaultList faults)
    {
        if (width != bits)
        {
            faults.Add(Faults.ChecksumWidth, placed.Place, $"the field has {bits} bits, but {what} has {width}");
        }

        return width == bits;
    }

    // A profile is computed over the whole payload and leaves its own field out by itself.
    private static IReadOnlyList<ByteRange> Others(BitField own, int? length, ChecksumFamily family)
    {
        if (length is not > 0)
        {
            return [];
        }

        var isWhole = own.Length % 8 == 0 && own.BitsBeforeStart == 0;
        if (family >= ChecksumFamily.E2EProfile1 || !isWhole)
        {
            return [new ByteRange(0, length.Value - 1)];
        }

        ByteRange[] around = [new(0, own.FirstByte - 1), new(own.LastByte + 1, length.Value - 1)];
        return [.. around.Where(range => range.To >= range.From)];
    }
}
