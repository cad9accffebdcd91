using System.Globalization;

namespace BusScope.Frames;

/// <summary>
/// An identifier, 11 bit or 29 bit (ISO 11898-1, base and extended frame format). The two number spaces are apart:
/// 0x100 as a base identifier is not 0x00000100 as an extended one. A source may deliver a number too large for its
/// format; it is kept as it came and reported, never cut to fit.
/// </summary>
public readonly record struct CanId : IComparable<CanId>
{
    /// <summary>The largest 11-bit identifier.</summary>
    public const uint LargestBase = 0x7FF;

    /// <summary>The largest 29-bit identifier.</summary>
    public const uint LargestExtended = 0x1FFF_FFFF;

    private const uint ExtendedBit = 0x8000_0000;

    private readonly uint packed;

    private CanId(uint packed) => this.packed = packed;

    /// <summary>An identifier of the given format.</summary>
    /// <param name="value">0 to 0x7FF for 11 bit, 0 to 0x1FFFFFFF for 29 bit; larger numbers up to 29 bits are kept.</param>
    /// <param name="isExtended">Whether the identifier has 29 bits.</param>
    public CanId(uint value, bool isExtended) => packed = (value & LargestExtended) | (isExtended ? ExtendedBit : 0);

    /// <summary>The number, with bit 31 set for 29 bit.</summary>
    public uint Word => packed;

    /// <summary>The number of the identifier.</summary>
    public uint Value => packed & LargestExtended;

    /// <summary>Whether the identifier has 29 bits.</summary>
    public bool IsExtended => (packed & ExtendedBit) != 0;

    /// <summary>Whether the number fits its format.</summary>
    public bool Fits => IsExtended || Value <= LargestBase;

    /// <summary>The identifier of a word that is laid out like the Linux kernel's can_id (include/uapi/linux/can.h); its other marks are dropped.</summary>
    public static CanId OfWord(uint word) => new(word & (ExtendedBit | LargestExtended));

    /// <summary>Base identifiers first, then extended ones, each by number.</summary>
    public int CompareTo(CanId other) => packed.CompareTo(other.packed);

    /// <summary>Whether the left identifier sorts first.</summary>
    public static bool operator <(CanId left, CanId right) => left.packed < right.packed;

    /// <summary>Whether the left identifier sorts last.</summary>
    public static bool operator >(CanId left, CanId right) => left.packed > right.packed;

    /// <summary>Whether the left identifier does not sort last.</summary>
    public static bool operator <=(CanId left, CanId right) => left.packed <= right.packed;

    /// <summary>Whether the left identifier does not sort first.</summary>
    public static bool operator >=(CanId left, CanId right) => left.packed >= right.packed;

    /// <summary><c>0x0C8</c> for 11 bit, <c>0x18FEF100</c> for 29 bit.</summary>
    public override string ToString() =>
        "0x" + Value.ToString(IsExtended ? "X8" : "X3", CultureInfo.InvariantCulture);
}
