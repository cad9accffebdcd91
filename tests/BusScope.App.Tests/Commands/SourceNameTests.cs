using BusScope.Cli.Sources;
using Xunit;

namespace BusScope.App.Tests.Commands;

public class SourceNameTests
{
    [Theory]
    [InlineData("drive.pcapng", null, "drive.pcapng")]
    [InlineData("chassis=drive.pcapng", "chassis", "drive.pcapng")]
    [InlineData("chassis=-", "chassis", "-")]
    [InlineData("./a=b.pcapng", null, "./a=b.pcapng")]
    [InlineData("=drive.pcapng", null, "=drive.pcapng")]
    [InlineData("race=demo:good-start", "race", "demo:good-start")]
    public void A_name_before_the_source_names_its_bus(string text, string? bus, string where) =>
        Assert.Equal(new SourceName(bus, where), SourceName.Parse(text));

    [Fact]
    public void A_story_of_the_demo_is_recognised() => Assert.Equal("swapped", SourceName.Parse("race=demo:swapped").Story);
}
