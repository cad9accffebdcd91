using BusScope.TestKit;
using Xunit;

namespace BusScope.Health.Tests.Checks;

/// <summary>A message that names no bus is looked for on every bus of the source, and is never forgotten.</summary>
public class AnyBusTests
{
    private const uint Id = 0x7F0;

    private const string Definitions = """
        busscope: 1
        modules: { m: {} }
        messages:
          A: { id: 0x7F0, every: 10 ms, length: 1, needed-by: [m] }
        """;

    [Fact]
    public void What_comes_on_no_bus_is_missing()
    {
        var report = Car.Healthy().Check(Definitions);

        var finding = Assert.Single(report.Findings, finding => finding.Code == "message-missing");
        Assert.Equal((FindingSeverity.Fault, "A", null), (finding.Severity, finding.Message, finding.Bus));
        Assert.StartsWith("A never came on any bus: awaited for ", finding.Text, StringComparison.Ordinal);
        Assert.Equal(Verdict.NoGo, report.Verdict);
        Assert.Equal(Verdict.NoGo, report.Modules[0].Verdict);
        Assert.False(report.Messages[0].BusIsSilent);
    }

    [Fact]
    public void A_parameter_group_that_comes_on_no_bus_is_missing() =>
        Assert.Equal(Verdict.NoGo, Car.Healthy().Check("busscope: 1\nmessages: { A: { pgn: 61444, every: 20 ms } }").Verdict);

    [Theory]
    [InlineData(0)]
    [InlineData(1)]
    public void It_is_judged_on_the_bus_where_it_comes(ushort bus)
    {
        var report = Car.Healthy().Every(10, Id, bus, _ => "00").Check(Definitions);

        Assert.Equal(Verdict.Go, report.Verdict);
        Assert.Equal((Car.Buses[bus].Name, MessageState.Fresh), (report.Messages[0].Bus, report.Messages[0].State));
        Assert.DoesNotContain(report.Findings, finding => finding.Text.Contains("7F0", StringComparison.Ordinal));
    }

    [Theory]
    [InlineData(0)]
    [InlineData(1)]
    public void What_stops_there_is_found_there(ushort bus)
    {
        var report = Car.Healthy().Every(10, Id, bus, _ => "00").Without(Id, from: 5).Check(Definitions);

        Assert.Equal(Verdict.NoGo, report.Verdict);
        Assert.Equal(Car.Buses[bus].Name, Assert.Single(report.Findings, finding => finding.Code == "message-stopped").Bus);
    }

    [Fact]
    public void Of_two_buses_that_carry_it_one_that_delivers_is_enough()
    {
        var report = Car.Healthy().Every(10, Id, 0, _ => "00").Without(Id, from: 5).Every(10, Id, 1, _ => "00").Check(Definitions);

        Assert.Equal(Verdict.Go, report.Verdict);
        Assert.Equal(FindingSeverity.Warning, Assert.Single(report.Findings, finding => finding.Code == "message-stopped").Severity);
    }

    [Fact]
    public void On_its_own_bus_a_message_that_names_it_goes_first()
    {
        const string both = "buses: { cabin: {} }\n" + Definitions + "\n  B: { id: 0x7F0, bus: cabin, every: 10 ms, needed-by: [m] }";

        var report = Car.Healthy().Every(10, Id, 0, _ => "00").Every(10, Id, 1, _ => "00").Check(both);

        Assert.Equal(Verdict.Go, report.Verdict);
        Assert.Equal([("A", "chassis"), ("B", "cabin")], report.Messages.Take(2).Select(row => (row.Definition!.Name, row.Bus)));
    }

    [Fact]
    public void A_hole_in_all_buses_is_no_time_in_which_it_could_have_come()
    {
        var report = Car.Healthy(seconds: 0.5).Add(Some.Frame(0x123, "00", 9_000)).Add(Some.Frame(0x123, "00", 9_001, 1)).Check(Definitions);

        Assert.DoesNotContain(report.Findings, finding => finding.Code == "message-missing");
        Assert.Equal(Verdict.Inconclusive, report.Verdict);
    }

    [Fact]
    public void A_hole_in_one_bus_excuses_nothing()
    {
        var report = Car.Healthy().Without((frame, at) => frame.Bus == 1 && at is > 0.5 and < 9.5).Check(Definitions);

        Assert.Contains(report.Findings, finding => finding.Code == "message-missing");
    }
}
