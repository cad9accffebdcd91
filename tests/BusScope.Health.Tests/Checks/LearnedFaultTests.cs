using BusScope.Frames;
using Xunit;

namespace BusScope.Health.Tests.Checks;

/// <summary>
/// What a baseline learned from six seconds of a real car sees in the same car when a payload stands still behind a live counter and a
/// right checksum, as a gateway sends that has nothing new to say, or a car that stands: it is found and named rightly, nobody vouches for it, and nothing else is reported.
/// </summary>
public class LearnedFaultTests
{
    private const uint TorqueA = 0x130;
    private const string Name = "bus1_130";
    private static readonly Lazy<string> Baseline = new(() => new RealTraffic().Learned());

    [Fact]
    public void The_car_that_was_learned_is_go() => Only(new RealTraffic(), Verdict.Go);

    [Fact]
    public void A_payload_that_is_frozen_throughout_is_constant_where_it_used_to_live()
    {
        byte[]? first = null;

        var report = Only(new RealTraffic().Change(TorqueA, 1, (frame, _) => Frozen(frame, first ??= frame.Data.ToArray())), Verdict.Inconclusive, ("payload-stuck", FindingSeverity.Warning, Name));

        Assert.StartsWith($"{Name} is constant where it used to live: from the beginning nothing of it changed in ", report.Findings[0].Text, StringComparison.Ordinal);
        Assert.Equal(report.Messages.Single(message => message.Definition?.Name == Name).Frames, report.Findings[0].Count);
    }

    // At 00 it might be a car that stands; nothing but ones is "not available", and not even what never changed is there.
    [Theory]
    [InlineData(0x00, FindingSeverity.Warning, Verdict.Inconclusive)]
    [InlineData(0xFF, FindingSeverity.Fault, Verdict.NoGo)]
    public void A_payload_that_is_pinned_at_a_default_is_constant_where_it_used_to_live(byte value, FindingSeverity severity, Verdict verdict) =>
        Only(
            new RealTraffic().Change(TorqueA, 1, (frame, _) => Frozen(frame, [value, value, value, value, value, value, value, value])),
            verdict,
            ("payload-stuck", severity, Name));

    [Fact]
    public void A_payload_that_freezes_midway_says_when()
    {
        byte[]? last = null;
        var traffic = new RealTraffic().Change(TorqueA, 1, (frame, number) => number < 300 ? frame : Frozen(frame, last ??= frame.Data.ToArray()));

        var report = Only(traffic, Verdict.Inconclusive, ("payload-stuck", FindingSeverity.Warning, Name));

        var (finding, numbers) = (report.Findings[0], traffic.NumbersOf(TorqueA, 1));
        Assert.Equal(3, finding.At!.Value.Seconds, 0.05);
        Assert.InRange(finding.Frame!.Value, numbers[296], numbers[300]);
        Assert.Equal((numbers[^1], numbers.Count - finding.Count), (finding.UntilFrame, (long)numbers.ToList().IndexOf(finding.Frame.Value)));
        Assert.Contains(" frames, to the end. Either its sender froze, or the car gave it nothing to tell", finding.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_payload_that_freezes_for_a_while_and_lives_again_is_judged_and_says_from_when_to_when()
    {
        byte[]? last = null;

        var report = Only(new RealTraffic().Change(TorqueA, 1, (frame, number) => number is < 200 or >= 450 ? frame : Frozen(frame, last ??= frame.Data.ToArray())), Verdict.Go, ("payload-stuck", FindingSeverity.Warning, Name));

        Assert.Equal(2, report.Findings[0].At!.Value.Seconds, 0.05);
        Assert.Equal(4.5, report.Findings[0].Until!.Value.Seconds, 0.05);
        Assert.Matches($"^{Name} stood still for 2\\.\\d+ s where it used to live: from .* on nothing of it changed in 25\\d frames; then it lived again", report.Findings[0].Text);
    }

    [Fact]
    public void A_payload_that_rests_shortly_at_the_end_after_a_longer_rest_is_told_by_the_rest_that_goes_on()
    {
        byte[]? last = null;

        var report = Only(
            new RealTraffic().Change(TorqueA, 1, (frame, number) => number is < 50 or (>= 250 and < 400) ? frame : Frozen(frame, number is 50 or 400 ? last = frame.Data.ToArray() : last!)),
            Verdict.Inconclusive,
            ("payload-stuck", FindingSeverity.Warning, Name));

        Assert.Equal(4, report.Findings[0].At!.Value.Seconds, 0.05);
    }

    [Fact]
    public void A_payload_that_stands_still_for_a_second_is_no_finding()
    {
        byte[]? last = null;

        Only(new RealTraffic().Change(TorqueA, 1, (frame, number) => number is < 200 or >= 300 ? frame : Frozen(frame, last ??= frame.Data.ToArray())), Verdict.Go);
    }

    [Fact]
    public void A_counter_that_freezes_midway_says_when()
    {
        var last = 0;
        var report = Only(
            new RealTraffic().Change(TorqueA, 1, (frame, number) => number < 300 ? frame : RealTraffic.Protected(frame, _ => { }, counter: last = number == 300 ? frame.Data[6] : last)),
            Verdict.NoGo,
            ("counter-repeated", FindingSeverity.Fault, Name));

        Assert.Equal(3, report.Findings[0].At!.Value.Seconds, 0.05);
    }

    // The frame's own counter over another payload, with the checksum right for it.
    private static Frame Frozen(Frame frame, byte[] payload) => RealTraffic.Protected(frame, data =>
    {
        var counter = data[6];
        payload.CopyTo(data, 0);
        data[6] = (byte)((payload[6] & 0xF0) | (counter & 0x0F));
    });

    private static HealthReport Only(RealTraffic traffic, Verdict verdict, params (string Code, FindingSeverity Severity, string? Message)[] expected)
    {
        var report = traffic.Check(Baseline.Value);

        Assert.Equal(expected, report.Findings.Select(finding => (finding.Code, finding.Severity, finding.Message)));
        Assert.Equal(verdict, report.Verdict);
        return report;
    }
}
