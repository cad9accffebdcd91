using BusScope.Frames.Diagnostics;
using BusScope.Signals.Definitions;
using BusScope.Signals.Loading.Yaml;

namespace BusScope.Signals.Loading.Binding;

/// <summary>A signal with what the checks of its message need to know of its text.</summary>
internal sealed record BoundSignal(SignalDefinition Definition, TextPlace FieldPlace, IReadOnlyList<Entry> When);

/// <summary>Reads one signal.</summary>
internal static class SignalBinder
{
    private static readonly (string, SignalEncoding)[] types =
    [
        ("unsigned", SignalEncoding.Unsigned),
        ("signed", SignalEncoding.Signed),
        ("float", SignalEncoding.Float),
        ("text", SignalEncoding.Text),
        ("bcd", SignalEncoding.PackedDecimal),
    ];

    private static readonly string[] numberKeys = ["scale", "offset", "range", "max-rate", "lives"];
    private static readonly string[] rawKeys = ["not-available", "error", "reserved", "values"];

    /// <summary>The signal, or null where its name or position is at fault; other faults leave a part of it out.</summary>
    public static BoundSignal? Read(Entry entry, FileBinding file, int? payloadLength)
    {
        var faults = file.Faults;
        var named = faults.Name(entry.Key, inExpressions: true);
        var section = new Section(entry.Value, entry.Key.Place, DefinitionKeys.Signal, faults);
        if (entry.Value is not MapNode)
        {
            file.LeftOut.Add(entry.Name);
            return null;
        }

        var encoding = Encoding(section, faults);
        var placed = FieldBinder.Read(section, file, encoding == SignalEncoding.Text);
        var bits = placed?.Field.Length ?? 64;
        var fits = placed is { } at && FieldBinder.Fits(at, payloadLength, FaultList.Quote(entry.Name), faults) & LengthIsPossible(at, encoding, faults);
        RefuseKeys(section, encoding, faults);

        var isSigned = encoding == SignalEncoding.Signed;
        var raw = bits <= 64 && encoding != SignalEncoding.Text;
        var standard = RawRangesOf(section, file, encoding, placed);
        var notAvailable = raw ? RangeReading.RawRanges(faults, section.Items("not-available"), bits, isSigned) : [];
        var error = raw ? RangeReading.RawRanges(faults, section.Items("error"), bits, isSigned) : [];
        var reserved = raw ? RangeReading.RawRanges(faults, section.Items("reserved"), bits, isSigned) : [];
        var (minimum, maximum) = section.Scalar("range") is { } range ? RangeReading.Numbers(faults, range) : (null, null);
        var signal = new SignalDefinition
        {
            Name = entry.Name,
            Field = placed?.Field ?? default,
            Encoding = encoding,
            Scale = Scale(section, faults),
            Offset = section.Number("offset") ?? 0,
            Unit = section.Text("unit"),
            Minimum = minimum,
            Maximum = maximum,
            LargestRate = Rate(section, faults),
            NotAvailable = section.Has("not-available") || standard is null ? notAvailable : [standard.Value.NotAvailable],
            Error = section.Has("error") || standard is null ? error : [standard.Value.Error],
            Reserved = section.Has("reserved") || standard?.Reserved is not { } reservedRange ? reserved : [reservedRange],
            Values = raw ? Values(section, faults, bits, encoding) : [],
            Role = Role(section, faults),
            Lives = section.Flag("lives") ?? false,
            Note = section.Text("note"),
            Place = entry.Key.Place,
        };

        var when = section.Entries("when");
        return file.Keep(named && fits, entry.Key, new BoundSignal(signal, placed?.Place ?? entry.Key.Place, when));
    }

    private static SignalEncoding Encoding(Section section, FaultList faults)
    {
        var signed = section.Flag("signed");
        var type = section.Word("type", types);
        if (signed is { } isSigned && type is { } given && isSigned != (given == SignalEncoding.Signed) && (isSigned || given == SignalEncoding.Signed))
        {
            faults.Add(Faults.KeysContradict, section.KeyPlace("signed"), $"'signed: {(isSigned ? "true" : "false")}' and 'type: {section.Scalar("type")!.Value}' contradict each other", "keep 'type'", section.KeyPlace("type"));
        }

        return type ?? (signed == true ? SignalEncoding.Signed : SignalEncoding.Unsigned);
    }

    private static bool LengthIsPossible(PlacedField placed, SignalEncoding encoding, FaultList faults)
    {
        var bits = placed.Field.Length;
        var expected = encoding switch
        {
            SignalEncoding.Float when bits is not (32 or 64) => "a float has 32 or 64 bits",
            SignalEncoding.Text when bits % 8 != 0 || placed.Field.BitsBeforeStart != 0 => "a text has whole bytes",
            SignalEncoding.PackedDecimal when bits % 4 != 0 || bits > 64 => "packed decimal has 4 bits a digit, 16 digits at most",
            SignalEncoding.Unsigned or SignalEncoding.Signed when bits > 64 => "a number has at most 64 bits",
            _ => null,
        };
        if (expected is not null)
        {
            faults.Add(Faults.LengthImpossible, placed.Place, $"the field has {bits} bits, but {expected}", encoding is SignalEncoding.Unsigned ? "for characters write 'type: text'" : null);
        }

        return expected is null;
    }

    private static void RefuseKeys(Section section, SignalEncoding encoding, FaultList faults)
    {
        var refused = encoding switch
        {
            SignalEncoding.Text => numberKeys.Concat(rawKeys),
            SignalEncoding.Float => ["values"],
            _ => [],
        };
        foreach (var key in refused.Where(section.Has))
        {
            faults.Add(Faults.TypeMismatch, section.KeyPlace(key), $"'{key}' does not go with a {(encoding == SignalEncoding.Text ? "text" : "float")}");
        }
    }

    private static (RawRange? Reserved, RawRange Error, RawRange NotAvailable)? RawRangesOf(Section section, FileBinding file, SignalEncoding encoding, PlacedField? placed)
    {
        var given = section.Word("raw-ranges", [("j1939", true), ("none", false)]);
        if (placed is null || !(given ?? file.DefaultRawRanges))
        {
            return null;
        }

        var standard = StandardRawRanges.Of(placed.Value.Field.Length);
        if (encoding != SignalEncoding.Unsigned)
        {
            standard = null;
            if (given == true)
            {
                file.Faults.Add(Faults.TypeMismatch, section.KeyPlace("raw-ranges"), "the standard's raw ranges are of unsigned numbers; this signal is none");
            }
        }
        else if (standard is null && given == true)
        {
            file.Faults.Add(Faults.RawRangesUndefined, section.ValuePlace("raw-ranges"), $"the standard has no raw ranges for {placed.Value.Field.Length} bits; expected 2, 4, or whole bytes");
        }

        return standard;
    }

    private static double Scale(Section section, FaultList faults)
    {
        if (section.Number("scale") is not { } scale)
        {
            return 1;
        }

        if (scale != 0)
        {
            return scale;
        }

        faults.Add(Faults.ScaleZero, section.ValuePlace("scale"), "with a scale of 0 every raw value means the same", "leave 'scale' out for 1");
        return 1;
    }

    private static double? Rate(Section section, FaultList faults)
    {
        var rate = section.Number("max-rate");
        if (rate is not <= 0)
        {
            return rate;
        }

        faults.Add(Faults.OutOfBounds, section.ValuePlace("max-rate"), $"found {rate}; expected more than 0, in units a second");
        return null;
    }

    private static string? Role(Section section, FaultList faults)
    {
        var role = section.Text("role");
        if (role is not null && (!role.StartsWith("Vehicle.", StringComparison.Ordinal) || role.Split('.').Any(part => part.Length == 0 || !part.All(char.IsAsciiLetterOrDigit))))
        {
            faults.Add(Faults.RoleUnfamiliar, section.ValuePlace("role"), $"{FaultList.Quote(role)} is not a path of the Vehicle Signal Specification; it is kept", "for example 'Vehicle.Speed'");
        }

        return role;
    }

    private static List<NamedValue> Values(Section section, FaultList faults, int bits, SignalEncoding encoding)
    {
        var values = new List<NamedValue>();
        var places = new Dictionary<long, TextPlace>();
        var (smallest, largest) = encoding switch
        {
            SignalEncoding.Signed => (-(Int128.One << (bits - 1)), (Int128.One << (bits - 1)) - 1),
            SignalEncoding.PackedDecimal => (Int128.Zero, Int128.Parse(new string('9', Math.Max(1, bits / 4)))),
            _ => (Int128.Zero, (Int128.One << bits) - 1),
        };
        foreach (var entry in section.Entries("values"))
        {
            if (faults.Whole(entry.Key, long.MinValue, long.MaxValue) is not { } number || faults.Scalar(entry.Value, "name") is not { } scalar || faults.Text(scalar) is not { } name)
            {
                continue;
            }

            var raw = (long)number;
            if (number < smallest || number > largest)
            {
                faults.Add(Faults.RawTooLarge, entry.Key.Place, $"the raw value {number} does not fit a field of {bits} bits; expected {smallest} to {largest}");
            }
            else if (!places.TryAdd(raw, entry.Key.Place))
            {
                faults.Add(Faults.RawTwice, entry.Key.Place, $"the raw value {number} has a name already", null, places[raw]);
            }
            else
            {
                values.Add(new NamedValue(raw, name));
            }
        }

        values.Sort((left, right) => left.Raw.CompareTo(right.Raw));
        return values;
    }
}
