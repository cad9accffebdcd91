using BusScope.Frames;
using Xunit;

namespace BusScope.Health.Tests.Checks;

/// <summary>Every kind of fault put into a recording of a real car: it is found, named rightly, and nothing else is reported.</summary>
public class RealFaultTests
{
    private const uint TorqueA = 0x130;
    private const uint TorqueB = 0x140;
    private const uint Sum = 0x153;
    private const uint Wheels = 0x386;
    private const uint Lamp = 0x354;
    private const uint Body = 0x490;

    [Fact]
    public void The_car_as_it_was_recorded_is_go()
    {
        var report = Only(new RealTraffic(), Verdict.Go);

        Assert.All(report.Modules, module => Assert.Equal(Verdict.Go, module.Verdict));
    }

    [Fact]
    public void Never_sent()
    {
        var report = Only(new RealTraffic().Without(Lamp, 0), Verdict.NoGo, ("message-missing", FindingSeverity.Fault, "Lamp"));

        Assert.Equal([("brakes", Verdict.Go), ("cluster", Verdict.NoGo), ("body", Verdict.Go)], report.Modules.Select(module => (module.Definition.Name, module.Verdict)));
    }

    [Fact]
    public void Stopped()
    {
        var traffic = new RealTraffic().Without(TorqueA, 1, from: 4);

        var report = Only(traffic, Verdict.NoGo, ("message-stopped", FindingSeverity.Fault, "TorqueA"));

        Assert.Equal(3.995, report.Findings[0].At!.Value.Seconds, 0.006);
        Assert.Equal(["brakes"], report.Findings[0].Modules);
        Assert.Equal(traffic.NumbersOf(TorqueA, 1)[^1], report.Findings[0].Frame);
    }

    [Fact]
    public void Away_for_a_while()
    {
        var traffic = new RealTraffic().Without(Wheels, 0, from: 3, until: 3.5);

        var report = Only(traffic, Verdict.NoGo, ("message-stale", FindingSeverity.Fault, "Wheels"));

        var (finding, numbers) = (report.Findings[0], traffic.NumbersOf(Wheels, 0));
        Assert.Equal(1, finding.Count);
        Assert.InRange((finding.Until - finding.At)!.Value.Seconds, 0.5, 0.54);

        // 3 s at 20 ms: the 150th frame is the last before the gap.
        Assert.Equal((numbers[149], numbers[150]), (finding.Frame, finding.UntilFrame));
    }

    [Fact]
    public void Too_slow() => Only(new RealTraffic().Replace(Wheels, 0, (frame, number) => number % 2 == 0 ? [frame] : []), Verdict.NoGo, ("message-too-slow", FindingSeverity.Fault, "Wheels"));

    [Fact]
    public void Too_fast() => Only(new RealTraffic().Replace(Wheels, 0, (frame, _) => [frame, RealTraffic.Copy(frame, 10)]), Verdict.Go, ("message-too-fast", FindingSeverity.Warning, "Wheels"));

    [Fact]
    public void Jitters() => Only(new RealTraffic().Change(Wheels, 0, (frame, number) => RealTraffic.Copy(frame, number % 2 * 9.5)), Verdict.Go, ("message-jitters", FindingSeverity.Warning, "Wheels"));

    [Fact]
    public void Often_late() => Only(new RealTraffic().Replace(Wheels, 0, (frame, number) => number % 10 == 9 ? [] : [frame]), Verdict.Go, ("message-late", FindingSeverity.Warning, "Wheels"));

    [Fact]
    public void Wrong_length() => Only(new RealTraffic().Change(Wheels, 0, (frame, _) => RealTraffic.Copy(frame, data: frame.Data[..7].ToArray())), Verdict.NoGo, ("wrong-length", FindingSeverity.Fault, "Wheels"));

    [Fact]
    public void Counter_frozen() => Only(new RealTraffic().Change(TorqueA, 1, (frame, _) => RealTraffic.Protected(frame, _ => { }, counter: 5)), Verdict.NoGo, ("counter-repeated", FindingSeverity.Fault, "TorqueA"));

    [Fact]
    public void Counter_jumping() => Only(new RealTraffic().Change(TorqueA, 1, (frame, number) => RealTraffic.Protected(frame, _ => { }, counter: number * 3)), Verdict.NoGo, ("counter-skipped", FindingSeverity.Fault, "TorqueA"));

    [Theory]
    [InlineData(TorqueA, 1, "TorqueA")]
    [InlineData(TorqueB, 1, "TorqueB")]
    [InlineData(Sum, 0, "Sum")]
    public void Checksum_wrong(uint id, int bus, string name)
    {
        var traffic = new RealTraffic().Change(id, bus, (frame, number) => number % 50 == 25 ? Spoilt(frame) : frame);

        var report = Only(traffic, Verdict.NoGo, ("checksum-wrong", FindingSeverity.Fault, name));

        var numbers = traffic.NumbersOf(id, bus);
        Assert.Equal((12, numbers[25], numbers[575]), (report.Findings[0].Count, report.Findings[0].Frame, report.Findings[0].UntilFrame));
    }

    [Fact]
    public void Constant_where_it_used_to_live()
    {
        var report = Only(new RealTraffic().Change(TorqueA, 1, (frame, _) => RealTraffic.Protected(frame, data => data[0] = 0x11)), Verdict.NoGo, ("signal-stuck", FindingSeverity.Fault, "TorqueA"));

        Assert.Equal("Torque", report.Findings[0].Signal);
    }

    [Fact]
    public void Value_pinned_at_not_available()
    {
        var report = Only(new RealTraffic().Change(TorqueB, 1, (frame, _) => RealTraffic.Protected(frame, data => data[0] = 0xFF)), Verdict.NoGo, ("value-not-available", FindingSeverity.Fault, "TorqueB"));

        Assert.Equal("Pedal", report.Findings[0].Signal);
    }

    [Fact]
    public void Two_senders_with_counters_of_their_own() =>
        Only(
            new RealTraffic().Replace(TorqueA, 1, (frame, _) => [frame, RealTraffic.Copy(RealTraffic.Protected(frame, _ => { }, counter: frame.Data[6] + 7), 3)]),
            Verdict.NoGo,
            ("two-senders", FindingSeverity.Fault, "TorqueA"));

    [Fact]
    public void Two_senders_without_a_counter() =>
        Only(new RealTraffic().Replace(Wheels, 0, (frame, _) => [frame, RealTraffic.Copy(frame, 4)]), Verdict.NoGo, ("two-senders", FindingSeverity.Fault, "Wheels"));

    [Fact]
    public void Sent_on_the_wrong_bus() => Only(new RealTraffic().Change(Lamp, 0, (frame, _) => RealTraffic.Copy(frame, bus: 1)), Verdict.NoGo, ("wrong-bus", FindingSeverity.Fault, "Lamp"));

    [Fact]
    public void A_whole_bus_silent_at_the_end()
    {
        var report = Only(new RealTraffic().Without(frame => frame.Bus == 1 && frame.Time.Seconds >= 4), Verdict.NoGo, ("bus-silent", FindingSeverity.Fault, null));

        Assert.Equal(["brakes"], report.Findings[0].Modules);
    }

    [Fact]
    public void A_bus_whose_recording_ends_a_little_before_the_other_is_one_finding() =>
        Only(new RealTraffic().Without(frame => frame.Bus == 1 && frame.Time.Seconds >= 5.5), Verdict.Inconclusive, ("recording-short", FindingSeverity.Warning, null));

    [Fact]
    public void A_module_that_is_itself_gone() => Only(new RealTraffic().Without(Body, 0, from: 3), Verdict.NoGo, ("module-silent", FindingSeverity.Fault, "Body"));

    [Fact]
    public void A_hole_in_the_recording_of_a_bus_is_the_recorders()
    {
        var report = Only(new RealTraffic().Without(frame => frame.Bus == 1 && frame.Time.Seconds is >= 3 and < 3.4), Verdict.Go, ("recorder-lost-frames", FindingSeverity.Warning, null));

        Assert.Equal((3.0, 3.4), (Math.Round(report.Findings[0].At!.Value.Seconds, 2), Math.Round(report.Findings[0].Until!.Value.Seconds, 2)));
    }

    [Fact]
    public void Nobody_vouches_for_a_bus_of_which_more_than_a_tenth_of_the_time_is_missing() =>
        Only(new RealTraffic().Without(frame => frame.Bus == 1 && frame.Time.Seconds is (>= 1 and < 1.4) or (>= 3 and < 3.4)), Verdict.Inconclusive, ("recorder-lost-frames", FindingSeverity.Warning, null));

    [Fact]
    public void A_pause_of_all_senders_of_a_bus_is_the_buss() =>
        // As if every sender had been held up for 0.4 s and had then gone on where it was.
        Only(
            new RealTraffic().Shift(1, from: 3, by: 400).Without(frame => frame.Time.Seconds >= 5.9),
            Verdict.NoGo,
            ("bus-silent", FindingSeverity.Fault, null));

    private static Frame Spoilt(Frame frame)
    {
        var data = frame.Data.ToArray();
        data[1] ^= 0x40;
        return RealTraffic.Copy(frame, data: data);
    }

    // Identifiers that nobody defined are a note of each bus in every case.
    private static HealthReport Only(RealTraffic traffic, Verdict verdict, params (string Code, FindingSeverity Severity, string? Message)[] expected)
    {
        var report = traffic.Check();

        Assert.Equal(
            expected,
            report.Findings.Where(finding => finding.Code != "unknown-identifier").Select(finding => (finding.Code, finding.Severity, finding.Message)));
        Assert.Equal(verdict, report.Verdict);
        return report;
    }
}
