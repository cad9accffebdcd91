namespace BusScope.Signals.Definitions;

/// <summary>Which byte of a number comes first in the payload.</summary>
public enum ByteOrder
{
    /// <summary>The most significant byte first; a field runs from its most significant bit towards later bytes.</summary>
    Big,

    /// <summary>The least significant byte first; a field runs from its least significant bit towards later bytes.</summary>
    Little,
}

/// <summary>A bit of a payload: bytes count from 0 in transmission order, bit 7 is the most significant bit of its byte.</summary>
/// <param name="Byte">0 to 63 in a frame; further in a longer payload.</param>
/// <param name="Bit">0 to 7.</param>
public readonly record struct BitPosition(int Byte, int Bit)
{
    /// <summary><c>3.7</c>: byte 3, its most significant bit.</summary>
    public override string ToString() => $"{Byte}.{Bit}";
}

/// <summary>
/// Where a number stands in a payload. A big-endian field starts at its most significant bit, goes down to bit 0 of the byte
/// and on at bit 7 of the next; a little-endian field starts at its least significant bit, goes up to bit 7 and on at bit 0
/// of the next byte.
/// </summary>
/// <param name="Start">The most significant bit of a big-endian field, the least significant bit of a little-endian one.</param>
/// <param name="Length">Bits: 1 to 64 for a number, a multiple of 8 for text.</param>
/// <param name="Order">Which way it runs.</param>
public readonly record struct BitField(BitPosition Start, int Length, ByteOrder Order)
{
    /// <summary>
    /// The field whose two ends are these bits, in whatever order they are given. One within a byte is the same in both byte orders and
    /// is given as a big-endian one, as the definition file has it.
    /// </summary>
    public static BitField Between(BitPosition one, BitPosition other, ByteOrder order)
    {
        var way = one.Byte == other.Byte ? ByteOrder.Big : order;
        var (from, to) = (Along(one, way), Along(other, way));
        return new BitField(from <= to ? one : other, Math.Abs(to - from) + 1, way);
    }

    private static int Along(BitPosition bit, ByteOrder order) => (bit.Byte * 8) + (order == ByteOrder.Big ? 7 - bit.Bit : bit.Bit);

    /// <summary>The first byte that the field touches.</summary>
    public int FirstByte => Start.Byte;

    /// <summary>The last byte that the field touches.</summary>
    public int LastByte => Start.Byte + ((BitsBeforeStart + Length - 1) / 8);

    /// <summary>The bits in the field's own direction that come before it in its first byte.</summary>
    public int BitsBeforeStart => Order == ByteOrder.Big ? 7 - Start.Bit : Start.Bit;

    /// <summary>The position of the n-th bit along the field, 0 being <see cref="Start"/>.</summary>
    public BitPosition At(int n)
    {
        var along = BitsBeforeStart + n;
        return new BitPosition(Start.Byte + (along / 8), Order == ByteOrder.Big ? 7 - (along % 8) : along % 8);
    }

    /// <summary>The least significant bit.</summary>
    public BitPosition LeastSignificant => Order == ByteOrder.Big ? At(Length - 1) : Start;

    /// <summary>The most significant bit.</summary>
    public BitPosition MostSignificant => Order == ByteOrder.Big ? Start : At(Length - 1);

    /// <summary>Whether the two fields share a bit.</summary>
    public bool Overlaps(BitField other)
    {
        for (var i = 0; i < Length; i++)
        {
            if (other.Holds(At(i)))
            {
                return true;
            }
        }

        return false;
    }

    /// <summary>Whether a bit is part of the field.</summary>
    public bool Holds(BitPosition bit)
    {
        var along = ((bit.Byte - Start.Byte) * 8) + (Order == ByteOrder.Big ? 7 - bit.Bit : bit.Bit) - BitsBeforeStart;
        return along >= 0 && along < Length;
    }
}
