using System.Buffers.Binary;
using System.Text;

namespace BusScope.Transport.Pcapng;

/// <summary>Walks the options of a block (draft-ietf-opsawg-pcapng, section 3.5): code, length, value, padding.</summary>
internal ref struct OptionReader(ReadOnlySpan<byte> options, bool isBigEndian)
{
    private const int Head = 4;

    private ReadOnlySpan<byte> rest = options;

    /// <summary>The code of the option at hand.</summary>
    public ushort Code { get; private set; }

    /// <summary>The value of the option at hand.</summary>
    public ReadOnlySpan<byte> Value { get; private set; }

    /// <summary>Whether an option reaches beyond its block.</summary>
    public bool IsMalformed { get; private set; }

    /// <summary>The value as a number of 32 bits, or null when it has another size.</summary>
    public readonly uint? Number => Value.Length != sizeof(uint) ? null : isBigEndian ? BinaryPrimitives.ReadUInt32BigEndian(Value) : BinaryPrimitives.ReadUInt32LittleEndian(Value);

    /// <summary>The value as a number of 64 bits, or null when it has another size.</summary>
    public readonly ulong? LongNumber => Value.Length != sizeof(ulong) ? null : isBigEndian ? BinaryPrimitives.ReadUInt64BigEndian(Value) : BinaryPrimitives.ReadUInt64LittleEndian(Value);

    /// <summary>The value as text; what is not UTF-8 becomes replacement characters.</summary>
    public readonly string Text => Encoding.UTF8.GetString(Value.TrimEnd((byte)0));

    /// <summary>Goes to the next option.</summary>
    public bool Next()
    {
        if (rest.Length < Head)
        {
            IsMalformed |= !rest.IsEmpty;
            return false;
        }

        Code = isBigEndian ? BinaryPrimitives.ReadUInt16BigEndian(rest) : BinaryPrimitives.ReadUInt16LittleEndian(rest);
        int length = isBigEndian ? BinaryPrimitives.ReadUInt16BigEndian(rest[2..]) : BinaryPrimitives.ReadUInt16LittleEndian(rest[2..]);
        if (Code == OptionCode.End)
        {
            return false;
        }

        if (rest.Length < Head + length)
        {
            IsMalformed = true;
            return false;
        }

        Value = rest.Slice(Head, length);
        rest = rest[Math.Min(rest.Length, Head + PcapngFormat.Padded(length))..];
        return true;
    }
}
