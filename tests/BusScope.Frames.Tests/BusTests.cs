using Xunit;

namespace BusScope.Frames.Tests;

public class BusTests
{
    // Names come out of files, and go to terminals and into other files.
    [Fact]
    public void The_name_of_a_bus_is_clean_however_it_is_given()
    {
        Assert.Equal("a\\u001B[2J", new Bus("a\u001b[2J").Name);
        Assert.Equal("a\\u001B[2J", (new Bus("a") with { Name = "a\u001b[2J" }).Name);
    }
}
