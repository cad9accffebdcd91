using BusScope.Signals.Definitions;

namespace BusScope.Signals.Loading;

/// <summary>A checksum algorithm by name.</summary>
/// <param name="Name">As written in the definition file.</param>
/// <param name="Family">How it is computed.</param>
/// <param name="Bits">The length of its field: exact for a CRC, the most for sums, xors and nibble forms.</param>
/// <param name="Crc">For a CRC; otherwise null.</param>
/// <param name="Final">For sums, xors and nibble forms: exclusive-or'ed onto the result.</param>
/// <param name="Start">For sums: added before that.</param>
/// <param name="Source">Where name and parameters are from.</param>
public sealed record ChecksumAlgorithm(string Name, ChecksumFamily Family, int Bits, CrcParameters? Crc, ulong Final, ulong Start, string Source)
{
    /// <summary>Whether it is one of the AUTOSAR E2E profiles, which fix more than the sum.</summary>
    public bool IsProfile => Family is >= ChecksumFamily.E2EProfile1 and <= ChecksumFamily.E2EProfile6;
}

/// <summary>
/// The checksum algorithms that a definition file can name. Cyclic redundancy checks have the names of the catalogue of
/// parametrised CRC algorithms in lower case; sums and nibble forms are common practice of the trade.
/// </summary>
public static class ChecksumCatalogue
{
    private const string Catalogue = "catalogue of parametrised CRC algorithms";
    private const string Practice = "common practice of the trade";
    private const string Protocol = "AUTOSAR E2E protocol specification";
    private const ulong AllOnes = ulong.MaxValue;

    /// <summary>All, in the order of docs/signal-definitions.md.</summary>
    public static IReadOnlyList<ChecksumAlgorithm> All { get; } =
    [
        Crc("crc8-sae-j1850", 8, 0x1D, 0xFF, 0xFF),
        Crc("crc8-autosar", 8, 0x2F, 0xFF, 0xFF),
        Crc("crc8-opensafety", 8, 0x2F, 0, 0),
        Crc("crc8-gsm-a", 8, 0x1D, 0, 0),
        Crc("crc8-tech-3250", 8, 0x1D, 0xFF, 0, reflected: true),
        Crc("crc8-smbus", 8, 0x07, 0, 0),
        Crc("crc8-i-432-1", 8, 0x07, 0, 0x55),
        Crc("crc8-rohc", 8, 0x07, 0xFF, 0, reflected: true),
        Crc("crc8-nrsc-5", 8, 0x31, 0xFF, 0),
        Crc("crc15-can", 15, 0x4599, 0, 0),
        Crc("crc16-ibm-3740", 16, 0x1021, 0xFFFF, 0),
        Crc("crc16-xmodem", 16, 0x1021, 0, 0),
        Crc("crc16-genibus", 16, 0x1021, 0xFFFF, 0xFFFF),
        Crc("crc16-kermit", 16, 0x1021, 0, 0, reflected: true),
        Crc("crc16-ibm-sdlc", 16, 0x1021, 0xFFFF, 0xFFFF, reflected: true),
        Crc("crc16-arc", 16, 0x8005, 0, 0, reflected: true),
        Crc("crc16-modbus", 16, 0x8005, 0xFFFF, 0, reflected: true),
        Crc("crc17-can-fd", 17, 0x1685B, 0, 0),
        Crc("crc21-can-fd", 21, 0x102899, 0, 0),
        Crc("crc32-autosar", 32, 0xF4AC_FB13, 0xFFFF_FFFF, 0xFFFF_FFFF, reflected: true),
        Crc("crc32-iso-hdlc", 32, 0x04C1_1DB7, 0xFFFF_FFFF, 0xFFFF_FFFF, reflected: true),
        Crc("crc32-bzip2", 32, 0x04C1_1DB7, 0xFFFF_FFFF, 0xFFFF_FFFF),
        Crc("crc32-mpeg-2", 32, 0x04C1_1DB7, 0xFFFF_FFFF, 0),
        Crc("crc32-iscsi", 32, 0x1EDC_6F41, 0xFFFF_FFFF, 0xFFFF_FFFF, reflected: true),
        Crc("crc64-xz", 64, 0x42F0_E1EB_A9EA_3693, AllOnes, AllOnes, reflected: true),
        Plain("sum8", ChecksumFamily.Sum, 8),
        Plain("sum8-complement", ChecksumFamily.Sum, 8, final: AllOnes),

        // -sum = not (sum - 1), and -1 is all ones.
        Plain("sum8-twos-complement", ChecksumFamily.Sum, 8, final: AllOnes, start: AllOnes),
        Plain("sum16", ChecksumFamily.Sum, 16),
        Plain("sum16-complement", ChecksumFamily.Sum, 16, final: AllOnes),
        Plain("sum16-twos-complement", ChecksumFamily.Sum, 16, final: AllOnes, start: AllOnes),
        Plain("xor8", ChecksumFamily.Xor, 8),
        Plain("xor8-complement", ChecksumFamily.Xor, 8, final: AllOnes),
        Plain("nibble-sum", ChecksumFamily.NibbleSum, 16),
        Plain("nibble-sum-complement", ChecksumFamily.NibbleSum, 16, final: AllOnes),
        Plain("nibble-sum-twos-complement", ChecksumFamily.NibbleSum, 16, final: AllOnes, start: AllOnes),
        Plain("nibble-xor", ChecksumFamily.NibbleXor, 4),
        Plain("nibble-xor-complement", ChecksumFamily.NibbleXor, 4, final: AllOnes),
        Profile("e2e-p1", ChecksumFamily.E2EProfile1, 8),
        Profile("e2e-p11", ChecksumFamily.E2EProfile1, 8),
        Profile("e2e-p2", ChecksumFamily.E2EProfile2, 8),
        Profile("e2e-p22", ChecksumFamily.E2EProfile2, 8),
        Profile("e2e-p4", ChecksumFamily.E2EProfile4, 32),
        Profile("e2e-p44", ChecksumFamily.E2EProfile4, 32),
        Profile("e2e-p5", ChecksumFamily.E2EProfile5, 16),
        Profile("e2e-p6", ChecksumFamily.E2EProfile6, 16),
    ];

    /// <summary>The algorithm of this name, or null.</summary>
    public static ChecksumAlgorithm? Find(string name) => All.FirstOrDefault(algorithm => algorithm.Name == name);

    private static ChecksumAlgorithm Crc(string name, int width, ulong polynomial, ulong start, ulong final, bool reflected = false) =>
        new(name, ChecksumFamily.Crc, width, new CrcParameters(width, polynomial, start, final, reflected), 0, 0, Catalogue);

    private static ChecksumAlgorithm Plain(string name, ChecksumFamily family, int bits, ulong final = 0, ulong start = 0) =>
        new(name, family, bits, null, final, start, Practice);

    private static ChecksumAlgorithm Profile(string name, ChecksumFamily family, int bits) => new(name, family, bits, null, 0, 0, Protocol);
}
