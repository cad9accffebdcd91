using BusScope.Cli;
using BusScope.Demo;
using BusScope.Frames;
using BusScope.Session;
using BusScope.Session.Replay;
using BusScope.Transport;
using Xunit;

namespace BusScope.App.Tests.Architecture;

public class SourceAroundTests
{
    [Fact]
    public void Every_source_around_one_other_derives_from_the_one_that_passes_everything_on()
    {
        var around =
            from assembly in new[] { typeof(IFrameSource), typeof(CaptureFile), typeof(MonitorSession), typeof(DemoSource), typeof(CommandLine) }.Select(type => type.Assembly)
            from type in assembly.GetTypes()
            where type.IsClass && typeof(IFrameSource).IsAssignableFrom(type)
            where type.GetConstructors().Any(constructor => constructor.GetParameters().Any(parameter => parameter.ParameterType == typeof(IFrameSource)))
            select type;

        Assert.All(around, type => Assert.True(type.IsSubclassOf(typeof(SourceAround)), type.FullName));
        Assert.Contains(typeof(PacedSource), around);
    }
}
