using BusScope.Signals.Definitions;
using BusScope.TestKit;
using Xunit;

namespace BusScope.Signals.Tests.Protection;

public class ChecksumDocumentTests
{
    [Theory]
    [InlineData(ChecksumFamily.Crc, "CRC")]
    [InlineData(ChecksumFamily.Sum, "sum")]
    [InlineData(ChecksumFamily.Xor, "exclusive or")]
    [InlineData(ChecksumFamily.NibbleSum, "nibble sum")]
    [InlineData(ChecksumFamily.NibbleXor, "nibble xor")]
    [InlineData(ChecksumFamily.E2EProfile1, "E2E profile 1,")]
    [InlineData(ChecksumFamily.E2EProfile2, "E2E profile 2,")]
    [InlineData(ChecksumFamily.E2EProfile4, "E2E profile 4,")]
    [InlineData(ChecksumFamily.E2EProfile5, "E2E profile 5")]
    [InlineData(ChecksumFamily.E2EProfile6, "E2E profile 6")]
    public void Every_family_is_documented(ChecksumFamily family, string name)
    {
        var rows = File.ReadLines(RepoFiles.Path("docs", "checksums.md")).TakeWhile(line => line != "## Data ids").Where(line => line.StartsWith('|'));

        Assert.Contains(rows, row => row.Split('|')[1].Contains(name, StringComparison.Ordinal));
        Assert.Equal(10, Enum.GetValues<ChecksumFamily>().Length);
        Assert.True(Enum.IsDefined(family));
    }
}
