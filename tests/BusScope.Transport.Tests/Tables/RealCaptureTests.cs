using BusScope.Frames;
using BusScope.TestKit;
using BusScope.Transport.Tables;
using Xunit;

namespace BusScope.Transport.Tests.Tables;

/// <summary>The facts that captures/SOURCES.md states about captures of real cars, published under CC0-1.0.</summary>
public class RealCaptureTests
{
    [Theory]
    [InlineData("vehicle-two-buses-off-on-ready-off", 39_546, "0:101 1:52", 10.84)]
    [InlineData("drive-controller-alone-on-bench", 9_473, "1:22", 10.38)]
    [InlineData("start-refused-no-key", 14_294, "67", 27.70)]
    [InlineData("diagnostic-bus-scan", 1_845, "1:72", 1_057)]
    [InlineData("small-bus-stale-rows-negative-times", 27_982, "0:6", 46.51)]
    public void Frames_identifiers_and_seconds_are_those_stated(string file, int frames, string ids, double seconds)
    {
        var (read, source) = Read(file);

        Assert.Equal(frames, read.Count);
        var byBus = read.GroupBy(f => f.Bus).OrderBy(g => source.Buses[g.Key].Name).Select(g => $"{source.Buses[g.Key].Name}:{g.Select(f => f.Id).Distinct().Count()}");
        Assert.Equal(ids, ids.Contains(':') ? string.Join(' ', byBus) : read.Select(f => (f.Bus, f.Id)).Distinct().Count().ToString());
        Assert.Equal(seconds, (read.Max(f => f.Time) - read.Min(f => f.Time)).Seconds, seconds > 1_000 ? 0.5 : 0.01);
        Assert.Equal([TableProblems.TimeUnitInferred], source.Problems.All.Select(p => p.Kind));
        Assert.StartsWith("microseconds", source.Problems.All[0].Detail, StringComparison.Ordinal);
    }

    [Fact]
    public void The_small_bus_has_88_stale_rows_then_a_negative_clock_and_a_direction()
    {
        var (frames, _) = Read("small-bus-stale-rows-negative-times");

        Assert.Equal(22.21, frames[0].Time.Seconds, 0.005);
        Assert.Equal(22.36, frames[87].Time.Seconds, 0.005);
        Assert.Equal(-0.364, frames[88].Time.Seconds, 0.0005);
        Assert.All(frames, f => Assert.Equal(Direction.Received, f.Direction));
    }

    [Fact]
    public void The_vehicle_file_steps_back_1845_times_between_its_buses()
    {
        var (frames, _) = Read("vehicle-two-buses-off-on-ready-off");

        Assert.Equal(1_845, frames.Zip(frames.Skip(1)).Count(p => p.Second.Time < p.First.Time));
    }

    private static (List<Frame> Frames, IFrameSource Source) Read(string file)
    {
        using var stream = File.OpenRead(RepoFiles.Shared("captures", file + ".csv"));
        return TextTableTests.Drain(TextTable.Open(stream, file, null));
    }
}
