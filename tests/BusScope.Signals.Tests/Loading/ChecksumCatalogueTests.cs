using System.Globalization;
using System.Numerics;
using BusScope.Signals.Definitions;
using BusScope.Signals.Loading;
using BusScope.TestKit;
using Xunit;

namespace BusScope.Signals.Tests.Loading;

public sealed class ChecksumCatalogueTests
{
    /// <summary>The catalogue's check values, of the nine bytes "123456789"; from memory of the catalogue, except those of the published table below.</summary>
    public static TheoryData<string, string> Checks => new()
    {
        { "crc8-opensafety", "3E" }, { "crc8-gsm-a", "37" }, { "crc8-tech-3250", "97" }, { "crc8-smbus", "F4" }, { "crc8-i-432-1", "A1" },
        { "crc8-rohc", "D0" }, { "crc8-nrsc-5", "F7" }, { "crc16-xmodem", "31C3" }, { "crc16-genibus", "D64E" }, { "crc16-kermit", "2189" },
        { "crc16-ibm-sdlc", "906E" }, { "crc16-modbus", "4B37" }, { "crc32-bzip2", "FC891918" }, { "crc32-mpeg-2", "0376E6E7" }, { "crc32-iscsi", "E3069283" },
    };

    [Theory]
    [MemberData(nameof(Checks))]
    public void The_parameters_of_a_name_give_its_check_value(string name, string check) =>
        Assert.Equal(BigInteger.Parse("0" + check, NumberStyles.HexNumber, CultureInfo.InvariantCulture), Compute(ChecksumCatalogue.Find(name)!.Crc!, "123456789"u8));

    // Source: vectors/published/crc.csv (computed bit by bit, equal to the published check values).
    [Fact]
    public void The_parameters_agree_with_the_published_table()
    {
        var rows = File.ReadLines(RepoFiles.Shared("vectors", "published", "crc.csv")).Skip(1).Select(line => line.Split(',')).ToList();
        var compared = new HashSet<string>();
        foreach (var row in rows)
        {
            var name = row[0].Split(" (")[0].ToLowerInvariant().Replace("crc-", "crc", StringComparison.Ordinal).Replace('/', '-');
            var crc = ChecksumCatalogue.Find(name)!.Crc!;
            compared.Add(name);

            Assert.Equal((row[1], row[2].TrimStart('0'), row[4]), (crc.Width.ToString(), crc.Polynomial.ToString("X"), crc.Reflected.ToString()));
            Assert.Equal(BigInteger.Parse("0" + row[8], NumberStyles.HexNumber, CultureInfo.InvariantCulture), Compute(crc, Convert.FromHexString(row[7])));
        }

        Assert.Equal(ChecksumCatalogue.All.Where(algorithm => algorithm.Crc is not null).Select(algorithm => algorithm.Name).Order(), compared.Concat(Checks.Select(check => check.Data.Item1)).Order());
    }

    // Bit by bit on whole numbers, as the catalogue defines its model; nothing of the program's own computation.
    private static BigInteger Compute(CrcParameters crc, ReadOnlySpan<byte> data)
    {
        var top = BigInteger.One << (crc.Width - 1);
        var mask = (top << 1) - 1;
        BigInteger register = crc.Start;
        foreach (var value in data)
        {
            for (var n = 0; n < 8; n++)
            {
                var bit = (value >> (crc.Reflected ? n : 7 - n)) & 1;
                var feeds = ((register & top) != 0 ? 1 : 0) != bit;
                register = (register << 1) & mask;
                register ^= feeds ? crc.Polynomial : 0;
            }
        }

        if (crc.Reflected)
        {
            var mirrored = BigInteger.Zero;
            for (var n = 0; n < crc.Width; n++)
            {
                mirrored |= ((register >> n) & 1) << (crc.Width - 1 - n);
            }

            register = mirrored;
        }

        return register ^ crc.Final;
    }
}
