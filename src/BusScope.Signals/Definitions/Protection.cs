namespace BusScope.Signals.Definitions;

/// <summary>An alive counter: a field that the sender moves on with every frame.</summary>
/// <param name="Field">2 to 16 bits.</param>
public sealed record CounterDefinition(BitField Field)
{
    /// <summary>What is added from frame to frame, modulo <see cref="Modulo"/>; negative when it counts down. Never 0.</summary>
    public int Step { get; init; } = 1;

    /// <summary>Values run from 0 to Modulo − 1; 2 to the power of the length if not said otherwise.</summary>
    public int Modulo { get; init; } = 1 << Field.Length;
}

/// <summary>How a checksum is computed.</summary>
public enum ChecksumFamily
{
    /// <summary>A cyclic redundancy check with the parameters of <see cref="ChecksumDefinition.Crc"/>, then data ids if any.</summary>
    Crc,

    /// <summary>The sum of the bytes, cut to the field.</summary>
    Sum,

    /// <summary>The exclusive or of the bytes.</summary>
    Xor,

    /// <summary>The sum of all four-bit halves, cut to the field.</summary>
    NibbleSum,

    /// <summary>The exclusive or of all four-bit halves.</summary>
    NibbleXor,

    /// <summary>AUTOSAR E2E profile 1 or 11; the data id mode is in <see cref="ChecksumDefinition.DataIdMode"/>.</summary>
    E2EProfile1,

    /// <summary>AUTOSAR E2E profile 2 or 22: sixteen data ids, one for each counter value.</summary>
    E2EProfile2,

    /// <summary>AUTOSAR E2E profile 4 or 44: 12-byte header with length, counter, data id and 32-bit CRC.</summary>
    E2EProfile4,

    /// <summary>AUTOSAR E2E profile 5: 16-bit CRC low byte first, 8-bit counter.</summary>
    E2EProfile5,

    /// <summary>AUTOSAR E2E profile 6: 16-bit CRC high byte first, length, 8-bit counter.</summary>
    E2EProfile6,
}

/// <summary>How AUTOSAR E2E profile 1 and 11 weave their 16-bit data id into the CRC.</summary>
public enum DataIdMode
{
    /// <summary>Both bytes, low first.</summary>
    Both,

    /// <summary>Low byte with even counters, high byte with odd ones.</summary>
    Alternating,

    /// <summary>The low byte only.</summary>
    Low,

    /// <summary>Low byte, then a zero byte; the low nibble of the high byte is sent in the payload.</summary>
    Nibble,
}

/// <summary>The parameters that name a cyclic redundancy check.</summary>
/// <param name="Width">Bits of the register, 3 to 64.</param>
/// <param name="Polynomial">Without its highest term, most significant bit first.</param>
/// <param name="Start">The register before the first byte.</param>
/// <param name="Final">Exclusive-or'ed onto the register at the end.</param>
/// <param name="Reflected">Whether bytes go in, and the register comes out, least significant bit first.</param>
public sealed record CrcParameters(int Width, ulong Polynomial, ulong Start, ulong Final, bool Reflected);

/// <summary>Payload bytes from one to another, both included.</summary>
public readonly record struct ByteRange(int From, int To);

/// <summary>A checksum field and how the sender computes it.</summary>
/// <param name="Family">How it is computed.</param>
/// <param name="Field">Where it stands.</param>
public sealed record ChecksumDefinition(ChecksumFamily Family, BitField Field)
{
    /// <summary>The name under which the definition file asked for it.</summary>
    public string Algorithm { get; init; } = "";

    /// <summary>The bytes that it covers, in order; where one holds the checksum itself, its bits count as zero.</summary>
    public IReadOnlyList<ByteRange> Over { get; init; } = [];

    /// <summary>For <see cref="ChecksumFamily.Crc"/>; otherwise null.</summary>
    public CrcParameters? Crc { get; init; }

    /// <summary>Exclusive-or'ed onto the result of a sum, xor or nibble form (0xFF… makes the one's complement).</summary>
    public ulong Final { get; init; }

    /// <summary>
    /// Added to the result of a sum, before the final exclusive or. With all ones for both, the sum's two's complement comes out:
    /// −sum is the complement of sum − 1.
    /// </summary>
    public ulong Start { get; init; }

    /// <summary>No id; one id; or sixteen, one for each counter value.</summary>
    public IReadOnlyList<ulong> DataIds { get; init; } = [];

    /// <summary>How many bytes of a data id a plain CRC takes in.</summary>
    public int DataIdBytes { get; init; } = 1;

    /// <summary>Whether a plain CRC takes the data id before the payload, not after it.</summary>
    public bool DataIdFirst { get; init; }

    /// <summary>For AUTOSAR E2E profile 1 and 11.</summary>
    public DataIdMode DataIdMode { get; init; }
}
