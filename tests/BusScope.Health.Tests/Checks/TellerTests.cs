using BusScope.TestKit;
using Xunit;

namespace BusScope.Health.Tests.Checks;

/// <summary>A message that tells a condition falls silent, or never comes: nobody knows then whether what is under the condition should come.</summary>
public class TellerTests
{
    private const uint Key = 0x100;
    private const uint Fan = 0x210;

    [Fact]
    public void What_stops_after_its_condition_was_told_last_is_not_held_against_it()
    {
        var report = Car.Healthy().Without(Key, from: 3).Without(Fan, from: 5).Check();

        Only(report, Verdict.Inconclusive, ("message-stopped", "Key"), ("not-judged", "Fan"));
        Assert.Equal("Position >= 2 is last known at 2.9 s: Key, which tells it, is silent since. Mend that first. 1 message under it could not be judged meanwhile: Fan", Note(report));
        Assert.Equal((MessageState.Idle, Verdict.Inconclusive), (StateOf(report, "Fan"), report.Modules[1].Verdict));
    }

    [Fact]
    public void What_stopped_before_is_still_a_fault()
    {
        var report = Car.Healthy().Without(Key, from: 5).Without(Fan, from: 3).Check();

        Only(report, Verdict.NoGo, ("message-stopped", "Fan"), ("message-stopped", "Key"), ("not-judged", "Fan"));
        Assert.Equal(2.95, report.Findings[0].At!.Value.Seconds, 9);
    }

    [Fact]
    public void What_was_away_while_nobody_told_the_condition_is_not_held_against_it()
    {
        var report = Car.Healthy().Without(Key, from: 3, until: 6).Without(Fan, from: 3.6, until: 5).Check();

        Only(report, Verdict.Inconclusive, ("message-stale", "Key"), ("not-judged", "Fan"));
        Assert.StartsWith("Position >= 2 was not known for 3.1 s from 2.9 s on, while Key, which tells it, was silent: mend that first. ", Note(report), StringComparison.Ordinal);
    }

    [Fact]
    public void A_condition_that_ended_before_it_is_told_again_had_ended_when_it_was_told_last()
    {
        var report = Car.Healthy()
            .Change(Key, (frame, _, at) => Some.Frame(Key, at < 5 ? "02" : "00", at * 1000, bus: 1))
            .Without(Key, from: 3, until: 6).Without(Fan, from: 3.6)
            .Check();

        Only(report, Verdict.Inconclusive, ("message-stale", "Key"), ("not-judged", "Fan"));
    }

    [Theory]
    [InlineData(4, 4.05, 4.4, Verdict.Go)]
    [InlineData(4, 3.5, 4.4, Verdict.NoGo)]
    [InlineData(5, 3.95, 4.4, Verdict.NoGo)]
    public void A_condition_ended_somewhere_between_the_frame_that_told_it_last_and_the_one_that_tells_its_end(double keyAwayFrom, double fanUntil, double off, Verdict verdict)
    {
        var report = Car.Healthy()
            .Change(Key, (_, _, at) => Some.Frame(Key, at < off ? "02" : "00", at * 1000, bus: 1))
            .Without(Key, from: keyAwayFrom, until: off).Without(Fan, from: fanUntil)
            .Check();

        Assert.Equal(verdict, report.Verdict);
        Assert.Equal(verdict == Verdict.NoGo, report.Findings.Any(finding => finding.Message == "Fan"));
    }

    [Fact]
    public void Who_tells_a_condition_on_change_alone_tells_its_end_to_the_moment()
    {
        var definitions = Car.Definitions.Replace("length: 1\n    every: 100 ms\n    stale-after: 500 ms", "length: 1\n    on-change: true", StringComparison.Ordinal);
        var report = Car.Healthy()
            .Without(Key, from: 0.05).Add(Some.Frame(Key, "00", 6_000, bus: 1)).Without(Fan, from: 3)
            .Check(definitions);

        Only(report, Verdict.NoGo, ("message-stale", "Fan"));
    }

    [Fact]
    public void What_a_report_asks_in_between_changes_nothing()
    {
        var frames = Car.Healthy().Without(Key, from: 3, until: 6).Without(Fan, from: 3.6, until: 5).Frames.OrderBy(frame => frame.Time).ToList();
        var (asked, whole) = (Car.Monitor(), Car.Monitor());
        foreach (var batch in Some.Batches(frames))
        {
            whole.Accept(batch, Car.Buses);
            asked.Accept(batch, Car.Buses);
            asked.Report(isFinal: false);
        }

        Assert.Equal(whole.Report(isFinal: true).Findings.Select(finding => finding.Text), asked.Report(isFinal: true).Findings.Select(finding => finding.Text));
    }

    [Fact]
    public void A_bus_that_falls_silent_with_what_tells_the_condition_leaves_the_others_unjudged()
    {
        var report = Car.Healthy().Without((frame, at) => frame.Bus == 1 && at >= 3).Without(Fan, from: 5).Check();

        Assert.DoesNotContain(report.Findings, finding => finding.Code == "message-stopped");
        Assert.Contains(report.Findings, finding => finding.Text.StartsWith("Position >= 2 is last known at 2.9 s: ", StringComparison.Ordinal));
        Assert.NotEqual(Verdict.Go, report.Verdict);
    }

    [Theory]
    [InlineData(5, 7)]
    [InlineData(5, 99)]
    public void While_all_buses_are_silent_a_condition_stays_as_it_was_told(double from, double until) =>
        Assert.DoesNotContain(Car.Healthy().Without((_, at) => at >= from && at < until).Check().Findings, finding => finding.Code == "not-judged");

    [Fact]
    public void A_time_too_short_for_the_others_to_go_stale_hides_nothing() =>
        Only(Car.Healthy().Without(Key, from: 3, until: 3.6).Check(Car.Definitions.Replace("300 ms", "900 ms", StringComparison.Ordinal)), Verdict.Go, ("message-stale", "Key"));

    [Fact]
    public void What_is_sent_on_change_only_tells_its_condition_for_as_long_as_it_is_silent() =>
        Only(
            Car.Healthy().Without(Key, from: 3).Without(Fan, from: 5).Check(Car.Definitions.Replace("length: 1\n    every: 100 ms\n    stale-after: 500 ms", "length: 1\n    on-change: true", StringComparison.Ordinal)),
            Verdict.NoGo,
            ("message-stopped", "Fan"));

    [Fact]
    public void A_condition_that_another_message_still_decides_goes_on() =>
        Only(
            Car.Healthy().Without(Key, from: 3).Without(Fan, from: 5).Check(Car.Definitions.Replace("while: Position >= 2", "while: Position >= 2 or Coolant > 0", StringComparison.Ordinal)),
            Verdict.NoGo,
            ("message-stopped", "Fan"),
            ("message-stopped", "Key"));

    [Fact]
    public void A_condition_whose_message_never_came_is_not_known()
    {
        var report = Car.Healthy().Without(Key).Check();

        Only(report, Verdict.Inconclusive, ("message-missing", "Key"), ("not-judged", "Fan"));
        Assert.Equal("Position >= 2 is not known, since Key, which tells it, never came: mend that first. 1 message under it could not be judged: Fan", Note(report));
    }

    [Fact]
    public void A_condition_whose_message_came_with_another_length_only_is_not_known()
    {
        var report = Car.Healthy().Change(Key, (_, _, at) => Some.Frame(Key, "0200", at * 1000, bus: 1)).Check();

        Assert.Equal("Position >= 2 is not known, since Key, which tells it, came 100 times, but never with its length: mend that first. 1 message under it could not be judged: Fan", Note(report));
    }

    [Fact]
    public void Nobody_is_to_mend_what_merely_has_not_come_yet() =>
        Assert.Contains(Car.Healthy(0.9).Without(Key).Check().Findings, finding => finding.Text.StartsWith("Position >= 2 is not known, since Key, which tells it, has not come yet: record longer. ", StringComparison.Ordinal));

    [Fact]
    public void A_hole_of_the_recording_is_nothing_to_mend()
    {
        // Three counters of the bus go on over the hole, so that it is the recorder's.
        var car = Car.Healthy();
        for (var i = 0; i < 3; i++)
        {
            car.Every(20, 0x600 + (uint)i, 1, number => $"0{number % 16:X}");
        }

        var report = car.Without((frame, at) => frame.Bus == 1 && at is >= 4 and < 6).Check(Car.Definitions + "\n" + string.Join('\n', Enumerable.Range(0, 3).Select(i =>
            $"  Counted{i}: {{ id: {0x600 + i}, bus: cabin, every: 20 ms, counter: {{ byte: 0, bits: 0..3 }} }}")));

        Assert.Equal(
            "Position >= 2 was not known for 2.1 s from 3.9 s on, since the recording of bus cabin, on which Key tells it, has a hole there: record again. 1 message under it could not be judged meanwhile: Fan",
            Note(report));
    }

    [Theory]
    [InlineData(0, 10, "Fan could not be judged: its condition Position >= 2 never held, but it came all the same, from 0 s on. Either the condition is wrong, or Key, which tells it, says the wrong thing: look at that first")]
    [InlineData(3, 3.9, "Fan could not be judged: its condition Position >= 2 never held. Record while it does, for longer than 1 s")]
    public void What_comes_for_long_although_its_condition_never_holds_puts_the_condition_in_doubt(double from, double until, string note) =>
        Assert.Equal(note, Note(Car.Healthy().Change(Key, (_, _, at) => Some.Frame(Key, "00", at * 1000, bus: 1)).Without((frame, at) => frame.Id.Value == Fan && (at < from || at >= until))));

    [Fact]
    public void One_of_many_that_comes_although_their_condition_never_holds_puts_nothing_in_doubt()
    {
        var definitions = Car.Definitions + "\n" + string.Join('\n', Enumerable.Range(0, 4).Select(i => $"  M{i}: {{ id: {0x500 + i}, bus: chassis, every: 50 ms, while: Position >= 4 }}"));

        Assert.Contains(Car.Healthy().Every(50, 0x500, 0, _ => "00").Check(definitions).Findings, finding => finding.Text.StartsWith("4 messages could not be judged: their condition Position >= 4 never held. Record while it does, ", StringComparison.Ordinal));
        Assert.Contains(
            Car.Healthy().Every(50, 0x500, 0, _ => "00").Every(50, 0x501, 0, _ => "00").Every(50, 0x502, 0, _ => "00").Check(definitions).Findings,
            finding => finding.Text.StartsWith("4 messages could not be judged: their condition Position >= 4 never held, but 3 of them came all the same, from 0 s on. ", StringComparison.Ordinal));
    }

    [Theory]
    [InlineData(9.3, 1.82, "Rare could not be judged: it was awaited for 1.82 s at a time only, between holes of the recording. Record for longer than 2 s on end")]
    [InlineData(1.6, 99, "Rare could not be judged: it was awaited for 1.59 s only. Record for longer than 2 s")]
    public void What_is_awaited_anew_after_every_silence_was_awaited_for_the_time_between_them(double seconds, double silentFrom, string note) =>
        Assert.Contains(
            Car.Healthy(seconds).Without((frame, at) => frame.Bus == 0 && at % 2 >= silentFrom).Check(Car.Definitions + "\n  Rare: { id: 0x700, bus: chassis, every: 1 s, stale-after: 2 s }").Findings,
            finding => finding.Text == note);

    [Fact]
    public void A_condition_that_is_never_told_with_a_value_is_not_known()
    {
        var report = Car.Healthy().Check(Car.Definitions.Replace("bits: 0..3 }\n  Fan", "bits: 0..3, not-available: 2 }\n  Fan", StringComparison.Ordinal));

        Assert.StartsWith("Position >= 2 is not known: what tells it came, but never with a value. ", Assert.Single(report.Findings, finding => finding.Code == "not-judged").Text, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(3, 4)]
    [InlineData(4, 2)]
    public void Beyond_three_messages_one_line_says_that_their_condition_never_held(int more, int notes)
    {
        var definitions = Car.Definitions.Replace("while: Position >= 2", "while: Position >= 3", StringComparison.Ordinal) + "\n"
            + string.Join('\n', Enumerable.Range(1, more).Select(i => $"  M{i}: {{ id: {0x500 + i}, bus: chassis, every: 20 ms, stale-after: {i} s, while: Position >= 4 }}"));

        var told = Car.Healthy().Check(definitions).Findings.Where(finding => finding.Code == "not-judged").ToList();

        Assert.Equal(notes, told.Count);
        if (more == 4)
        {
            Assert.Equal("4 messages could not be judged: their condition Position >= 4 never held. Record while it does, for longer than 4 s: M1, M2, M3, M4", told[1].Text);
            Assert.Equal((4, null), (told[1].Count, told[1].Message));
        }
    }

    private static string Note(Car car) => Note(car.Check());

    private static string Note(HealthReport report) => Assert.Single(report.Findings, finding => finding.Code == "not-judged").Text;

    private static MessageState? StateOf(HealthReport report, string name) => report.Messages.Single(message => message.Definition?.Name == name).State;

    private static void Only(HealthReport report, Verdict verdict, params (string Code, string? Message)[] expected)
    {
        Assert.Equal(expected.Order(), report.Findings.Where(finding => finding.Code != "module-needs-nothing").Select(finding => (finding.Code, finding.Message)).Order());
        Assert.Equal(verdict, report.Verdict);
    }
}
