using BusScope.Frames;
using BusScope.Frames.Wire;
using BusScope.TestKit;
using Xunit;

namespace BusScope.Transport.Tests.Wire;

public class RealLoadTests
{
    // captures/SOURCES.md: 52.8 % and 32.2 % with exact stuffing, 500 kbit/s assumed.
    [Fact]
    public void The_vehicle_buses_have_the_stated_loads()
    {
        using var source = CaptureFile.Open(RepoFiles.Shared("captures", "vehicle-two-buses-off-on-ready-off.csv"));
        var meters = new Dictionary<string, BusLoadMeter> { ["0"] = new(500_000), ["1"] = new(500_000) };
        var batch = new FrameBatch();

        while (source.Read(batch, TestContext.Current.CancellationToken) == SourceState.Frames)
        {
            foreach (ref readonly var frame in batch.Frames)
            {
                meters[source.Buses[frame.Bus].Name].Add(frame);
            }
        }

        Assert.Equal(52.8, meters["0"].Mean!.Value, 0.05);
        Assert.Equal(32.2, meters["1"].Mean!.Value, 0.05);
        Assert.All(meters.Values, m => Assert.InRange(m.Peak!.Value, m.Mean!.Value, 100));
    }
}
