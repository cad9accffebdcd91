using System.Buffers;
using System.Buffers.Binary;
using System.Text;

namespace BusScope.Transport.Pcapng;

/// <summary>Builds one little-endian block after the other in a buffer that is used again: head, fields, options, tail.</summary>
internal sealed class BlockBuilder
{
    // Option values have lengths of 16 bits.
    private const int LongestValue = ushort.MaxValue;

    private byte[] buffer = new byte[1024];
    private int used;

    /// <summary>Begins a block.</summary>
    public BlockBuilder Begin(uint type)
    {
        used = 0;
        return U32(type).U32(0);
    }

    /// <summary>Appends a number of 16 bits.</summary>
    public BlockBuilder U16(ushort value)
    {
        BinaryPrimitives.WriteUInt16LittleEndian(Room(sizeof(ushort)), value);
        return this;
    }

    /// <summary>Appends a number of 32 bits.</summary>
    public BlockBuilder U32(uint value)
    {
        BinaryPrimitives.WriteUInt32LittleEndian(Room(sizeof(uint)), value);
        return this;
    }

    /// <summary>Appends a number of 64 bits.</summary>
    public BlockBuilder U64(ulong value)
    {
        BinaryPrimitives.WriteUInt64LittleEndian(Room(sizeof(ulong)), value);
        return this;
    }

    /// <summary>Appends a time as the format wants it: the upper half first.</summary>
    public BlockBuilder Ticks(ulong ticks) => U32((uint)(ticks >> 32)).U32((uint)ticks);

    /// <summary>Appends so many zero bytes, to be written by the caller, and zeros up to a whole word.</summary>
    public Span<byte> Padded(int length)
    {
        var room = Room(PcapngFormat.Padded(length));
        room.Clear();
        return room[..length];
    }

    /// <summary>Appends an option that is text; cut, at a whole character, where it does not fit.</summary>
    public BlockBuilder Option(ushort code, string text)
    {
        // Three bytes a character suffice: a pair of surrogates takes four.
        var bytes = ArrayPool<byte>.Shared.Rent(Encoding.UTF8.GetMaxByteCount(text.Length));
        var length = Encoding.UTF8.GetBytes(text, bytes);
        if (length > LongestValue)
        {
            length = LongestValue;
            while ((bytes[length] & 0xC0) == 0x80)
            {
                length--;
            }
        }

        U16(code).U16((ushort)length);
        bytes.AsSpan(0, length).CopyTo(Padded(length));
        ArrayPool<byte>.Shared.Return(bytes);
        return this;
    }

    /// <summary>Appends an option that is a number of 8 bits.</summary>
    public BlockBuilder Option(ushort code, byte value)
    {
        U16(code).U16(1);
        Padded(1)[0] = value;
        return this;
    }

    /// <summary>Appends an option that is a number of 32 bits.</summary>
    public BlockBuilder Option(ushort code, uint value) => U16(code).U16(sizeof(uint)).U32(value);

    /// <summary>Appends an option that is a number of 64 bits.</summary>
    public BlockBuilder Option(ushort code, ulong value) => U16(code).U16(sizeof(ulong)).U64(value);

    /// <summary>Ends the options.</summary>
    public BlockBuilder EndOptions() => U16(OptionCode.End).U16(0);

    /// <summary>The finished block; valid until the next one begins.</summary>
    public ReadOnlySpan<byte> Finish()
    {
        var length = (uint)(used + PcapngFormat.BlockTail);
        U32(length);
        BinaryPrimitives.WriteUInt32LittleEndian(buffer.AsSpan(sizeof(uint)), length);
        return buffer.AsSpan(0, used);
    }

    private Span<byte> Room(int length)
    {
        if (buffer.Length - used < length)
        {
            Array.Resize(ref buffer, Math.Max(buffer.Length * 2, used + length));
        }

        used += length;
        return buffer.AsSpan(used - length, length);
    }
}
