using BusScope.Frames;
using BusScope.Signals.Definitions;

namespace BusScope.Signals.Loading.Binding;

/// <summary>Reads which part of a payload is constant.</summary>
internal static class ConstantBinder
{
    /// <summary>The constant part; null where nothing is said of it, or with a fault.</summary>
    public static ConstantPayload? Read(Section section, FileBinding file, int? length)
    {
        if (section.Scalar("constant") is not { } scalar)
        {
            return null;
        }

        // Digits that may be anything read as 0 in the value, and as the only 0 in the mask.
        var marks = string.Concat(scalar.Value.Select(c => c is ' ' or ConstantPayload.Open || !char.IsAsciiHexDigit(c) ? c : 'F')).Replace(ConstantPayload.Open, '0');
        if (!Literal.TryPayload(scalar.Value.Replace(ConstantPayload.Open, '0'), out var value) || !Literal.TryPayload(marks, out var mask) || !mask.AsSpan().ContainsAnyExcept((byte)0))
        {
            file.Faults.Add(Faults.BadFrame, scalar.Place, $"found {scalar.Describe()}; expected at most {Payload.Capacity} bytes as pairs of hexadecimal digits, a hyphen for a digit that may be anything, and at least one that may not", "for example '01 -- A-': byte 0 is 0x01, the high half of byte 2 is 0xA");
            return null;
        }

        var last = mask.AsSpan().LastIndexOfAnyExcept((byte)0);
        if (length is { } bytes && last >= bytes)
        {
            file.Faults.Add(Faults.BeyondPayload, scalar.Place, $"byte {last} is given; the payload ends with byte {bytes - 1}");
            return null;
        }

        return new ConstantPayload(value.AsMemory(0, last + 1), mask.AsMemory(0, last + 1));
    }
}
