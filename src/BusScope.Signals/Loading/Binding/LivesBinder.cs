using BusScope.Frames;

namespace BusScope.Signals.Loading.Binding;

/// <summary>Reads which bits of a payload live.</summary>
internal static class LivesBinder
{
    /// <summary>For each payload byte the bits that live, up to the last of them; empty where nothing is said of it, or with a fault.</summary>
    public static ReadOnlyMemory<byte> Read(Section section, FileBinding file, int? length)
    {
        if (section.Scalar("lives") is not { } scalar)
        {
            return default;
        }

        if (!Literal.TryPayload(scalar.Value, out var bits) || !bits.AsSpan().ContainsAnyExcept((byte)0))
        {
            file.Faults.Add(Faults.BadFrame, scalar.Place, $"found {scalar.Describe()}; expected at most {Payload.Capacity} bytes as pairs of hexadecimal digits, with at least one bit that is 1", "for example 'FF FF 00 3F': bytes 0 and 1, and bits 0 to 5 of byte 3");
            return default;
        }

        var last = bits.AsSpan().LastIndexOfAnyExcept((byte)0);
        if (length is { } bytes && last >= bytes)
        {
            file.Faults.Add(Faults.BeyondPayload, scalar.Place, $"bits of byte {last} are marked; the payload ends with byte {bytes - 1}");
            return default;
        }

        return bits.AsMemory(0, last + 1);
    }
}
