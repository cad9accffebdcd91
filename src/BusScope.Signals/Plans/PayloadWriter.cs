using BusScope.Signals.Definitions;

namespace BusScope.Signals.Plans;

/// <summary>Writes into payloads what a plan reads from them: for the simulator and for tests, never for a physical bus.</summary>
public static class PayloadWriter
{
    /// <summary>Puts a raw value into a field of 1 to 64 bits; other bits stay, bits of the value beyond the field are left out.</summary>
    /// <exception cref="ArgumentException">The payload does not reach to the field's last byte, or the field has more than 64 bits.</exception>
    public static void Write(Span<byte> payload, BitField field, ulong raw)
    {
        if (payload.Length <= field.LastByte || field.Length > 64)
        {
            throw new ArgumentException($"a field of {field.Length} bits up to byte {field.LastByte} in a payload of {payload.Length} bytes", nameof(payload));
        }

        new BitWindow(field).Write(payload, raw);
    }

    /// <summary>Puts a text into a text field, filled up with zero bytes, cut where it is too long; other than ASCII becomes '?'.</summary>
    /// <exception cref="ArgumentException">The payload does not reach to the field's last byte.</exception>
    public static void Write(Span<byte> payload, BitField field, ReadOnlySpan<char> text)
    {
        if (payload.Length <= field.LastByte)
        {
            throw new ArgumentException($"a text up to byte {field.LastByte} in a payload of {payload.Length} bytes", nameof(payload));
        }

        var room = payload[field.FirstByte..(field.LastByte + 1)];
        room.Clear();
        for (var i = 0; i < Math.Min(text.Length, room.Length); i++)
        {
            room[i] = char.IsAscii(text[i]) ? (byte)text[i] : (byte)'?';
        }
    }
}
