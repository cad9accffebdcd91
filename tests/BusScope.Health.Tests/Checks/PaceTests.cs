using Xunit;

namespace BusScope.Health.Tests.Checks;

/// <summary>A period that is off, or a sender too many, for a part of the check only.</summary>
public class PaceTests
{
    private const uint Gear = 0x1A0;
    private const uint Fan = 0x210;

    [Fact]
    public void A_message_that_is_too_slow_for_most_of_the_time_is_a_fault_and_says_since_when()
    {
        var finding = Only(Car.Healthy().Without(Gear, from: 1.99).Every(100, Gear, 0, _ => "0300", seconds: 8, offset: 2000), Verdict.NoGo, "message-too-slow", FindingSeverity.Fault);

        Assert.Equal("Gear comes every 100 ms instead of every 20 ms, from 2 s on", finding.Text);
        Assert.Equal((2, 9.9), (finding.At!.Value.Seconds, finding.Until!.Value.Seconds));
        Assert.Equal(79, finding.Count);
    }

    [Fact]
    public void A_message_that_is_slow_for_less_than_half_of_the_time_is_late() =>
        Only(Car.Healthy().Without(Gear, from: 3.19, until: 7.99).Every(100, Gear, 0, _ => "0300", seconds: 4.8, offset: 3200), Verdict.Go, "message-late", FindingSeverity.Warning);

    [Fact]
    public void A_message_that_is_too_slow_to_the_end_is_a_fault_however_short_that_is()
    {
        var finding = Only(Car.Healthy().Without(Gear, from: 8.49).Every(100, Gear, 0, _ => "0300", seconds: 1.5, offset: 8500), Verdict.NoGo, "message-too-slow", FindingSeverity.Fault);

        Assert.Equal("Gear comes every 100 ms instead of every 20 ms, from 8.5 s on", finding.Text);
        Assert.Equal((14, 9.9), (finding.Count, finding.Until!.Value.Seconds));
    }

    [Theory]
    [InlineData(10, 0.5)]
    [InlineData(4, 0.5)]
    public void One_that_keeps_its_rate_and_sends_in_bursts_is_uneven_and_not_too_fast(int together, double apart) =>
        Only(
            Car.Healthy().Change(Gear, (_, number, _) => TestKit.Some.Frame(Gear, "0300", (number / together * together * 20) + (number % together * apart))),
            Verdict.Go,
            "message-jitters",
            FindingSeverity.Warning);

    [Theory]
    [InlineData(8)]
    [InlineData(7.9)]
    public void Two_senders_less_than_half_a_period_apart_are_told_with_their_mean_and_for_the_whole_time(double offset)
    {
        var finding = Only(Car.Healthy().Every(20, Gear, 0, _ => "0300", offset: offset), Verdict.Go, "message-too-fast", FindingSeverity.Warning);

        Assert.Equal("Gear comes every 10 ms instead of every 20 ms: one sender that is too fast, or two just halfway between one another", finding.Text);
        Assert.Equal((0, 9.98 + (offset / 1000)), (finding.At!.Value.Seconds, finding.Until!.Value.Seconds));
    }

    [Fact]
    public void One_that_is_so_slow_that_it_is_stale_in_between_is_told_once()
    {
        var finding = Only(Car.Healthy().Without(Gear).Every(300, Gear, 0, _ => "0300"), Verdict.NoGo, "message-too-slow", FindingSeverity.Fault);

        Assert.Equal("Gear comes every 300 ms instead of every 20 ms: stale after 200 ms, each time", finding.Text);
    }

    [Fact]
    public void A_time_without_it_that_its_slowness_does_not_explain_is_told_beside_it() =>
        Assert.Equal(
            ["message-stale", "message-too-slow"],
            Car.Healthy().Without(Gear).Every(300, Gear, 0, _ => "0300").Without(Gear, from: 4, until: 5).Check().Findings.Where(finding => finding.Message == "Gear").Select(finding => finding.Code).Order());

    [Fact]
    public void A_message_that_is_too_slow_until_its_condition_ends_is_a_fault()
    {
        var car = Car.Healthy().Without(Fan, from: 5.99).Every(200, Fan, 0, _ => "55", 4, 6000).Change(0x100, (frame, _, at) => at < 8 ? frame : TestKit.Some.Frame(0x100, "00", at * 1000, 1));

        Assert.Contains(car.Check().Findings, finding => finding is { Code: "message-too-slow", Message: "Fan", Severity: FindingSeverity.Fault });
    }

    [Theory]
    [InlineData(3, Verdict.NoGo)]
    [InlineData(4, Verdict.NoGo)]
    [InlineData(1, Verdict.Go)]
    public void A_slow_sender_of_a_slow_message_is_told_from_the_few_frames_that_came(double seconds, Verdict verdict)
    {
        var report = Car.Healthy().Every(seconds * 1000, 0x7F0, 0, _ => "00").Check("busscope: 1\nmodules: { m: {} }\nmessages: { Slow: { id: 0x7F0, every: 1 s, stale-after: 5 s, needed-by: [m] } }");

        Assert.Equal(verdict, report.Verdict);
        Assert.Equal(verdict == Verdict.NoGo, report.Findings.Any(finding => finding.Code == "message-too-slow" && finding.Text.StartsWith($"Slow comes every {seconds} s instead of every 1 s", StringComparison.Ordinal)));
    }

    [Theory]
    [InlineData(90, 0.9)]
    [InlineData(190, 1.3)]
    public void A_jam_at_the_end_makes_no_slow_sender(double every, double seconds) =>
        Only(
            Car.Healthy().Without(Gear, from: 10 - seconds - 0.01).Every(every, Gear, 0, _ => "0300", seconds, (10 - seconds) * 1000),
            Verdict.Go,
            "message-late",
            FindingSeverity.Warning);

    [Theory]
    [InlineData(16.5)]
    [InlineData(28)]
    public void A_period_that_is_off_by_less_than_half_is_a_warning(double every)
    {
        var finding = Only(Car.Healthy().Without(Gear).Every(every, Gear, 0, _ => "0300"), Verdict.Go, "period-differs", FindingSeverity.Warning);

        Assert.Equal(FormattableString.Invariant($"Gear comes every {every} ms instead of every 20 ms"), finding.Text);
    }

    [Theory]
    [InlineData(18, 0)]
    [InlineData(22, 0)]
    [InlineData(20, 4)]
    public void A_period_that_is_off_by_a_little_or_only_alternates_is_none(double every, double uneven) =>
        Assert.DoesNotContain(Car.Healthy().Without(Gear).Every(every, Gear, 0, _ => "0300").Change(Gear, (frame, number, at) => TestKit.Some.Frame(Gear, "0300", (at * 1000) + (number % 2 * uneven))).Check().Findings, finding => finding.Message == "Gear");

    [Fact]
    public void Frames_that_are_missing_make_no_other_period() =>
        Only(Car.Healthy().Change(Gear, (frame, number, _) => number % 6 == 5 ? TestKit.Some.Frame(0x7FF, "00", 0) : frame).Without(0x7FF), Verdict.Go, "message-late", FindingSeverity.Warning);

    [Fact]
    public void Frames_that_are_missing_by_chance_make_no_slow_sender()
    {
        var random = new Random(1);

        Only(Car.Healthy().Without((frame, _) => frame.Id.Value == Gear && random.Next(3) == 0), Verdict.Go, "message-late", FindingSeverity.Warning);
    }

    [Fact]
    public void A_silence_of_the_bus_does_not_count_as_time_in_which_a_message_came_at_its_rate()
    {
        var car = Car.Healthy().Without(Gear, from: 0.99).Every(100, Gear, 0, _ => "0300", seconds: 2.5, offset: 1000).Without((_, at) => at is > 3.5 and < 9.9).Every(20, Gear, 0, _ => "0300", seconds: 0.1, offset: 9900);

        Assert.Contains(car.Check().Findings, finding => finding is { Code: "message-too-slow", Message: "Gear", At.Seconds: 1 });
    }

    [Fact]
    public void A_silence_of_the_bus_makes_no_slow_sender()
    {
        var car = Car.Healthy().Without(Gear, from: 2.59).Every(100, Gear, 0, _ => "0300", seconds: 0.9, offset: 2600).Without((_, at) => at is > 3.5 and < 9.9).Every(20, Gear, 0, _ => "0300", seconds: 0.1, offset: 9900);

        Assert.DoesNotContain(car.Check().Findings, finding => finding.Code == "message-too-slow");
    }

    [Theory]
    [InlineData(6, 200)]
    [InlineData(9, 200)]
    [InlineData(9, 60)]
    [InlineData(9, 10)]
    [InlineData(10, 60)]
    public void A_message_may_come_at_another_period_while_its_condition_does_not_hold(double off, double every)
    {
        var car = Car.Healthy().Without(Fan).Every(every, Fan, 0, _ => "55", off).Every(50, Fan, 0, _ => "55", 10 - off, off * 1000);
        car.Change(0x100, (frame, _, at) => at < off ? TestKit.Some.Frame(0x100, "00", at * 1000, 1) : frame);

        Assert.DoesNotContain(car.Check().Findings, finding => finding is { Message: "Fan", Code: not "not-judged" });
    }

    [Theory]
    [InlineData(20, 0.3)]
    [InlineData(20, 6)]
    [InlineData(20, 14)]
    [InlineData(20.1, 0.5)]
    public void A_second_sender_that_joins_later_is_found_and_says_since_when(double every, double offset)
    {
        var finding = Only(Car.Healthy().Every(every, Gear, 0, _ => "0300", seconds: 4, offset: 6000 + offset), Verdict.NoGo, "two-senders", FindingSeverity.Fault);

        Assert.Equal("Gear has two senders: frames come 2.0 times as often as defined, in pairs, from ", finding.Text[..finding.Text.IndexOf("from", StringComparison.Ordinal)] + "from ");
        Assert.EndsWith(" s on", finding.Text, StringComparison.Ordinal);
        Assert.InRange(finding.At!.Value.Seconds, 5.9, 6.1);
    }

    [Fact]
    public void A_second_sender_that_leaves_says_when()
    {
        var finding = Only(Car.Healthy().Every(20, Gear, 0, _ => "0300", seconds: 2, offset: 1006), Verdict.NoGo, "two-senders", FindingSeverity.Fault);

        Assert.EndsWith(", in pairs, from 1 s to 3 s", finding.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Two_senders_by_their_counters_say_since_when()
    {
        var finding = Only(Car.Healthy().Engine(4000, 10_000, counter: 5, offset: 4.1), Verdict.NoGo, "two-senders", FindingSeverity.Fault);

        Assert.EndsWith(" frames, from 4.004 s on", finding.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_message_that_is_too_fast_says_since_when()
    {
        var finding = Only(Car.Healthy().Without(Gear, from: 5.99).Every(5, Gear, 0, _ => "0300", seconds: 4, offset: 6000), Verdict.Go, "message-too-fast", FindingSeverity.Warning);

        Assert.Equal("Gear comes every 5 ms instead of every 20 ms, from 6 s on", finding.Text);
        Assert.Equal(6, finding.At!.Value.Seconds);
    }

    [Fact]
    public void A_message_that_jitters_says_since_when()
    {
        var car = Car.Healthy().Change(Gear, (frame, number, at) => at < 6 ? frame : TestKit.Some.Frame(Gear, "0300", (at * 1000) + (number % 2 * 9)));

        Assert.InRange(Only(car, Verdict.Go, "message-jitters", FindingSeverity.Warning).At!.Value.Seconds, 5.98, 6.03);
    }

    [Fact]
    public void What_is_wrong_for_a_while_names_its_first_and_last_frame()
    {
        var frames = Car.Healthy().Without(Gear, from: 5.99).Every(5, Gear, 0, _ => "0300", seconds: 2, offset: 6000).Every(20, Gear, 0, _ => "0300", seconds: 2, offset: 8000).Frames.OrderBy(frame => frame.Time).ToList();
        var monitor = new HealthMonitor(Car.Monitor().Plan, new MonitorOptions { KeepNumbers = true });
        monitor.Accept(frames.ToArray(), Car.Buses);

        var finding = Assert.Single(monitor.Report(isFinal: true).Findings, finding => finding.Code == "message-too-fast");

        Assert.Equal((Number(6), Number(8)), (finding.Frame, finding.UntilFrame));

        long? Number(double at) => frames.FindIndex(frame => frame.Id.Value == Gear && frame.Time.Seconds == at) + 1;
    }

    private static Finding Only(Car car, Verdict verdict, string code, FindingSeverity severity)
    {
        var report = car.Check();
        var finding = Assert.Single(report.Findings, finding => finding.Code != "module-needs-nothing");

        Assert.Equal((code, severity), (finding.Code, finding.Severity));
        Assert.Equal(verdict, report.Verdict);
        return finding;
    }
}
