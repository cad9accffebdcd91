using Xunit;

namespace BusScope.Health.Tests.Checks;

/// <summary>What an alive counter does over a gap, and what is the counter's own fault.</summary>
public class CounterTests
{
    private const uint Engine = 0x0C8;

    // So short a counter comes round often.
    private static readonly string ofFour = Car.Definitions.Replace("counter: { byte: 6, bits: 0..3 }", "counter: { byte: 6, bits: 0..1 }", StringComparison.Ordinal);

    [Fact]
    public void A_counter_that_came_once_round_in_a_gap_has_not_stood_still()
    {
        // Every other second three of the frames of 10 ms are left out: the fourth has the counter of the one before.
        var report = Car.Healthy().Without((frame, at) => frame.Id.Value == Engine && at % 2 is > 0.5 and < 0.53).Check(ofFour);

        var finding = Assert.Single(report.Findings, finding => finding.Message == "Engine");
        Assert.Equal(("counter-skipped", 5), (finding.Code, finding.Count));
    }

    [Theory]
    [InlineData(0.31)]
    [InlineData(0.33)]
    public void What_a_counter_did_while_its_message_was_stale_is_not_told(double away)
    {
        var report = Car.Healthy().Without((frame, at) => frame.Id.Value == Engine && at % 1 > 1 - away).Without(Engine, from: 9.3).Check(ofFour);

        Assert.All(report.Findings.Where(finding => finding.Message == "Engine"), finding => Assert.StartsWith("message-", finding.Code, StringComparison.Ordinal));
        Assert.Equal((0, 0), (report.Messages[0].CounterRepeated, report.Messages[0].CounterSkipped));
    }

    [Fact]
    public void A_counter_that_jumps_is_told_beside_a_gap_that_made_its_message_stale()
    {
        // Over the gap the counter happens to come to the next value.
        var car = Car.Healthy().Without(Engine, from: 5, until: 5.32).Change(Engine, (frame, _, at) => at > 2 ? Next(frame) : frame);

        var finding = Assert.Single(car.Check(ofFour).Findings, finding => finding.Code == "counter-skipped");

        Assert.Equal((1, 2.0003), (finding.Count, finding.At!.Value.Seconds));
    }

    [Fact]
    public void A_jump_is_told_where_it_was_and_not_where_its_message_was_stale()
    {
        var car = Car.Healthy().Without((frame, at) => frame.Id.Value == Engine && at is > 3 and < 3.4).Change(Engine, (frame, _, at) => at > 5 ? Next(frame) : frame);

        var finding = Assert.Single(car.Check().Findings, finding => finding.Code == "counter-skipped");

        Assert.Equal((1, 5.0003), (finding.Count, finding.At!.Value.Seconds));
    }

    // One further than it would have counted.
    private static Frames.Frame Next(Frames.Frame frame) => Car.EngineFrame(frame.Time.Seconds * 1000, (frame.Data[0] << 8) | frame.Data[1], frame.Data[6] + 1);
}
