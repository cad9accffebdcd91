using System.Buffers.Binary;
using System.Text;

namespace BusScope.Transport.Kernel;

/// <summary>The attributes of a netlink message, one after the other (netlink(7)): length with header, type, value, filled up to four bytes.</summary>
internal ref struct LinkAttributes(ReadOnlySpan<byte> bytes)
{
    private const int HeaderSize = 4;

    // NLA_F_NESTED and NLA_F_NET_BYTEORDER.
    private const int TypeMask = 0x3FFF;
    private ReadOnlySpan<byte> rest = bytes;

    /// <summary>The type of the present attribute.</summary>
    public int Type { get; private set; }

    /// <summary>The value of the present attribute.</summary>
    public ReadOnlySpan<byte> Value { get; private set; }

    /// <summary>Goes on to the next attribute; what does not fit ends the list.</summary>
    public bool Next()
    {
        if (rest.Length < HeaderSize || BinaryPrimitives.ReadUInt16LittleEndian(rest) is var length && (length < HeaderSize || length > rest.Length))
        {
            return false;
        }

        Type = BinaryPrimitives.ReadUInt16LittleEndian(rest[2..]) & TypeMask;
        Value = rest[HeaderSize..length];
        var next = (length + 3) & ~3;
        rest = next < rest.Length ? rest[next..] : [];
        return true;
    }

    /// <summary>A 32-bit number in the value, or null where it is too short.</summary>
    public readonly uint? Number(int offset) =>
        Value.Length >= offset + sizeof(uint) ? BinaryPrimitives.ReadUInt32LittleEndian(Value[offset..]) : null;

    /// <summary>A 16-bit number in the value, or null where it is too short.</summary>
    public readonly ushort? Half(int offset) =>
        Value.Length >= offset + sizeof(ushort) ? BinaryPrimitives.ReadUInt16LittleEndian(Value[offset..]) : null;

    /// <summary>A 64-bit number in the value, or 0 where it is too short.</summary>
    public readonly long Large(int offset) =>
        Value.Length >= offset + sizeof(long) ? BinaryPrimitives.ReadInt64LittleEndian(Value[offset..]) : 0;

    /// <summary>The text of the value, up to its end mark.</summary>
    public readonly string Text() => Encoding.UTF8.GetString(Value.IndexOf((byte)0) is var end and >= 0 ? Value[..end] : Value);
}
