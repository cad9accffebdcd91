using BusScope.Frames;
using Xunit;

namespace BusScope.Health.Tests.Checks;

/// <summary>Error reports instead of frames: they are nearer to the cause than that nothing came.</summary>
public class BusErrorsTests
{
    // Linux, include/uapi/linux/can/error.h: CAN_ERR_PROT, CAN_ERR_BUSOFF, CAN_ERR_RESTARTED.
    private const uint Fault = 0x008;
    private const uint Off = 0x040;
    private const uint Restarted = 0x100;

    [Fact]
    public void A_bus_with_nothing_but_error_reports_says_so()
    {
        var report = With(Car.Healthy().Without((frame, _) => frame.Bus == 0), Enumerable.Range(0, 500).Select(i => (i * 0.02, Fault))).Check();

        Assert.Equal(Verdict.NoGo, report.Verdict);
        Assert.StartsWith("bus chassis never spoke in 9.98 s, but 500 error reports: look at the bit rate, the wiring and the termination first", Silence(report).Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Only_the_reports_since_the_latest_frame_are_counted()
    {
        var report = With(Car.Healthy().Without((frame, at) => frame.Bus == 0 && at > 5), [(2, Fault), (3, Fault), (6, Fault)]).Check();

        Assert.Contains(", but 1 error report: ", Silence(report).Text, StringComparison.Ordinal);
        Assert.Equal((Verdict.NoGo, FindingSeverity.Fault), (report.Verdict, Silence(report).Severity));
    }

    [Fact]
    public void An_adapter_that_withdrew_from_the_bus_proves_nothing_of_the_car()
    {
        var report = With(Car.Healthy().Without((frame, at) => frame.Bus == 0 && at > 5), [(5.01, Fault), (5.02, Off)]).Check();

        Assert.Equal((Verdict.Inconclusive, FindingSeverity.Warning), (report.Verdict, Silence(report).Severity));
        Assert.EndsWith(", but 2 error reports. The adapter that recorded it withdrew from the bus at 5.02 s (bus-off) and saw nothing after that: look at its bit rate and wiring, and record again", Silence(report).Text, StringComparison.Ordinal);
        Assert.All(report.Modules.Where(module => module.Definition.Name != "engine"), module => Assert.Equal(Verdict.Inconclusive, module.Verdict));
    }

    [Fact]
    public void What_had_stopped_before_it_withdrew_is_a_fault() =>
        Assert.Equal(Verdict.NoGo, With(Car.Healthy().Without((frame, at) => frame.Bus == 0 && at > 5).Without(0x1A0, from: 3), [(5.02, Off)]).Check().Verdict);

    [Theory]
    [InlineData(5.02, Off, 5.1, Restarted)]
    [InlineData(4, Off, 5.1, Fault)]
    public void One_that_came_back_and_heard_nothing_proves_that_nothing_was_sent(double first, uint what, double second, uint then)
    {
        var report = With(Car.Healthy().Without((frame, at) => frame.Bus == 0 && at > 5), [(first, what), (second, then)]).Check();

        Assert.Equal((Verdict.NoGo, FindingSeverity.Fault), (report.Verdict, Silence(report).Severity));
    }

    private static Finding Silence(HealthReport report) => Assert.Single(report.Findings, finding => finding.Code == "bus-silent");

    private static Car With(Car car, IEnumerable<(double At, uint Classes)> reports)
    {
        foreach (var (at, classes) in reports)
        {
            var frame = default(Frame);
            frame.Set(new FrameTime((long)(at * 1e9)), 0, new CanId(classes, false), FrameKinds.ErrorReport, new byte[8]);
            car.Add(frame);
        }

        return car;
    }
}
