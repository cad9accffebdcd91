using Xunit;

namespace BusScope.Health.Tests.Checks;

/// <summary>A check in which nothing was decided is not GO, whatever came.</summary>
public class NothingExpectedTests
{
    private const string Modules = "busscope: 1\nbuses: { chassis: {}, cabin: {} }\nmodules: { m: {} }\n";

    [Theory]
    [InlineData("messages: { A: { id: 0x1A0, bus: chassis, length: 2, on-change: true }, B: { id: 0x400, bus: cabin, length: 4, on-change: true } }")]
    [InlineData("messages: { A: { id: 0x1A0, bus: chassis, length: 2, on-change: true, needed-by: [m] } }")]
    [InlineData("messages: { A: { id: 0x1A0, bus: chassis, length: 2 } }")]
    public void Messages_that_may_come_when_they_like_prove_nothing(string messages)
    {
        var report = Car.Healthy().Check(Modules + messages);

        Assert.Equal(Verdict.Inconclusive, report.Verdict);
        Assert.Equal(Verdict.Inconclusive, Assert.Single(report.Modules).Verdict);
        Assert.Contains(report.Findings, finding => finding.Code == "nothing-expected");
    }

    [Theory]
    [InlineData("busscope: 1\nmessages: { A: { id: 0x1A0, length: 2, on-change: true, signals: { Gear: { byte: 0, range: 0..8 } } } }")]
    [InlineData("busscope: 1\nmessages: { A: { id: 0x1A0, length: 2, on-change: true }, B: { id: 0x400, every: 100 ms } }")]
    [InlineData("busscope: 1\nmodules: { m: { alive: A } }\nmessages: { A: { id: 0x1A0, every: 20 ms } }")]
    public void Content_or_one_expectation_is_enough_for_a_verdict(string definitions) =>
        Assert.Equal(Verdict.Go, Car.Healthy().Check(definitions).Verdict);
}
