using BusScope.Signals.Definitions;

namespace BusScope.Analysis.Learning.Payloads;

/// <summary>Reads a trial field of at most 16 bits out of sample payloads.</summary>
internal static class FieldReader
{
    /// <summary>The unsigned value of the field; the payload must reach to its last byte.</summary>
    public static int Read(ReadOnlySpan<byte> payload, BitField field)
    {
        uint window = 0;
        if (field.Order == ByteOrder.Big)
        {
            for (var i = field.FirstByte; i <= field.LastByte; i++)
            {
                window = (window << 8) | payload[i];
            }

            var bytes = field.LastByte - field.FirstByte + 1;
            window >>= (8 * bytes) - field.BitsBeforeStart - field.Length;
        }
        else
        {
            for (var i = field.LastByte; i >= field.FirstByte; i--)
            {
                window = (window << 8) | payload[i];
            }

            window >>= field.BitsBeforeStart;
        }

        return (int)(window & ((1u << field.Length) - 1));
    }
}
