using BusScope.Frames;
using BusScope.Frames.Diagnostics;
using BusScope.Signals.Definitions;
using BusScope.Signals.Loading.Yaml;

namespace BusScope.Signals.Loading.Binding;

/// <summary>A field with the place of the value that put it there.</summary>
internal readonly record struct PlacedField(BitField Field, TextPlace Place);

/// <summary>Reads where a field stands: whole bytes, bits of one byte, or one end and a length.</summary>
internal static class FieldBinder
{
    private static readonly string[] forms = ["bytes", "byte", "lsb", "msb"];
    private const int BitsOfPayload = Payload.Capacity * 8;

    /// <summary>The two byte orders by their words.</summary>
    public static IReadOnlyList<(string, ByteOrder)> Orders { get; } = [("big", ByteOrder.Big), ("little", ByteOrder.Little)];

    /// <summary>The field, or null with a fault.</summary>
    /// <param name="section">A mapping with the keys of a position.</param>
    /// <param name="file">Defaults and faults.</param>
    /// <param name="isText">Whether byte order has no meaning, since the bytes are characters.</param>
    public static PlacedField? Read(Section section, FileBinding file, bool isText = false)
    {
        var order = section.Word("order", Orders);
        var given = forms.Where(section.Has).ToList();
        if (given.Count != 1)
        {
            Report(section, file, given);
            return null;
        }

        var form = given[0];
        var extra = form switch
        {
            "bytes" => section.Has("bits") ? "bits" : section.Has("length") ? "length" : null,
            "byte" => section.Has("length") ? "length" : null,
            _ => section.Has("bits") ? "bits" : null,
        };
        if (extra is not null)
        {
            file.Faults.Add(Faults.PositionAmbiguous, section.KeyPlace(extra), $"'{extra}' does not go with '{form}'", Forms(), section.KeyPlace(form));
            return null;
        }

        if (section.Scalar(form) is not { } scalar)
        {
            return null;
        }

        var field = form switch
        {
            "bytes" => Bytes(scalar, file),
            "byte" => Bits(section, scalar, file),
            _ => FromEnd(section, scalar, file, form == "lsb", order ?? file.DefaultOrder),
        };
        if (field is not { } found)
        {
            return null;
        }

        // The steps below take the field as counted big-endian; only a field of several bytes can tell the difference.
        if (form is "bytes" && found.FirstByte != found.LastByte)
        {
            var decided = order ?? file.DefaultOrder ?? (isText || section.Has("order") ? ByteOrder.Big : file.AssumeOrder(scalar.Place));
            found = decided == ByteOrder.Little && !isText ? found with { Start = new BitPosition(found.Start.Byte, 0), Order = ByteOrder.Little } : found;
        }

        return new PlacedField(found, scalar.Place);
    }

    /// <summary>Reports a field that the payload does not hold.</summary>
    public static bool Fits(PlacedField field, int? length, string what, FaultList faults)
    {
        var bytes = length ?? Payload.Capacity;
        if (field.Field.LastByte < bytes)
        {
            return true;
        }

        faults.Add(Faults.BeyondPayload, field.Place, bytes == 0
            ? $"{what} stands in byte {field.Field.LastByte}, but the payload has no byte"
            : $"{what} reaches byte {field.Field.LastByte}, but the payload ends with byte {bytes - 1}{(length is null ? ", the last of the longest frame" : $" (length: {bytes})")}");
        return false;
    }

    private static void Report(Section section, FileBinding file, List<string> given)
    {
        if (given.Count == 0)
        {
            file.Faults.Add(Faults.PositionMissing, section.Place, "nothing says where this field stands", Forms());
            return;
        }

        file.Faults.Add(Faults.PositionAmbiguous, section.KeyPlace(given[1]), $"'{given[0]}' and '{given[1]}' both say where this field stands", Forms(), section.KeyPlace(given[0]));
    }

    private static string Forms() => "one of: bytes: 0..1 / byte: 5, bits: 0..3 / lsb: 3.0, length: 12 / msb: 3.7, length: 12";

    private static BitField? Bytes(ScalarNode scalar, FileBinding file) =>
        RangeReading.Ends(file.Faults, scalar, 0, Payload.Capacity - 1, "a byte range such as 0..1") is var (from, to)
            ? new BitField(new BitPosition((int)from, 7), (int)(to - from + 1) * 8, ByteOrder.Big)
            : null;

    private static BitField? Bits(Section section, ScalarNode scalar, FileBinding file)
    {
        if (file.Faults.Whole(scalar, 0, Payload.Capacity - 1) is not { } inByte)
        {
            return null;
        }

        if (!section.Has("bits"))
        {
            return new BitField(new BitPosition((int)inByte, 7), 8, ByteOrder.Big);
        }

        return section.Scalar("bits") is { } bits && RangeReading.Ends(file.Faults, bits, 0, 7, "a bit range such as 0..3") is var (low, high)
            ? new BitField(new BitPosition((int)inByte, (int)high), (int)(high - low + 1), ByteOrder.Big)
            : null;
    }

    private static BitField? FromEnd(Section section, ScalarNode scalar, FileBinding file, bool isLsb, ByteOrder? order)
    {
        if (!section.Has("length"))
        {
            file.Faults.Add(Faults.MissingKey, section.KeyPlace(isLsb ? "lsb" : "msb"), $"'{(isLsb ? "lsb" : "msb")}' needs 'length', the number of bits");
            return null;
        }

        var read = Literal.TryPosition(scalar.Value, out var position);
        if (!read)
        {
            file.Faults.Add(Faults.BadPosition, scalar.Place, $"found {scalar.Describe()}; expected byte.bit: a byte from 0 to {Payload.Capacity - 1}, a bit from 0 to 7", "for example '3.7', the most significant bit of byte 3");
        }

        if (section.Whole("length", 1, BitsOfPayload) is not { } bits || !read)
        {
            return null;
        }

        var length = (int)bits;
        var roomInByte = isLsb ? 8 - position.Bit : position.Bit + 1;
        var decided = length <= roomInByte ? order ?? ByteOrder.Big : order ?? (section.Has("order") ? ByteOrder.Big : file.AssumeOrder(scalar.Place));

        // Counted along the field's own direction, its start lies length - 1 bits before its other end.
        var startIsGiven = isLsb == (decided == ByteOrder.Little);
        var along = (position.Byte * 8) + (decided == ByteOrder.Big ? 7 - position.Bit : position.Bit) - (startIsGiven ? 0 : length - 1);
        if (along < 0)
        {
            file.Faults.Add(Faults.BeyondPayload, scalar.Place, $"the field of {length} bits would begin before byte 0", "is the byte order right?");
            return null;
        }

        return new BitField(new BitPosition(along / 8, decided == ByteOrder.Big ? 7 - (along % 8) : along % 8), length, decided);
    }
}
