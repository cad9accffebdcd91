using Xunit;

namespace BusScope.Analysis.Tests.Learning;

public class ConditionTests
{
    // The ignition is on from 3 s to 9 s; its bit is sent every 20 ms by a message that is always there.
    private static readonly SentMessage body = Key(20, 12_000, IsOn);

    [Fact]
    public void A_bit_that_explains_when_others_are_sent_becomes_their_condition()
    {
        var baseline = LearnedCar.Of(body, Dependent(0x200), Dependent(0x201));

        var condition = baseline.Messages[1].Condition;
        Assert.NotNull(condition);
        Assert.Same(condition, baseline.Messages[2].Condition);
        var bit = Assert.Single(condition.Bits);
        Assert.Equal((0x100u, 0, 5, true), (bit.Id.Value, bit.Byte, bit.Bit, bit.IsSet));
        Assert.Null(baseline.Messages[0].Condition);
        Assert.All(baseline.Messages, message => Assert.True(message.IsExpected));
    }

    // The engine runs 1.5 s after the key is on, and both bits go out together: what comes with the key agrees with that better, though the other bit would explain it as well.
    [Fact]
    public void Of_two_states_that_explain_a_message_the_one_that_agrees_with_it_better_is_its_condition()
    {
        var state = new SentMessage(0x100, LearnedCar.Every(20, 0, 60_000), time => [(byte)((time is >= 3000 and < 50_000 ? 0x20 : 0) | (time is >= 4500 and < 50_000 ? 0x40 : 0)), (byte)(time / 100), 0, 0, 0, 0, 0, 0]);
        SentMessage From(uint id, double start) => new(id, LearnedCar.Every(10, start, 50_000));
        var baseline = LearnedCar.OfCaptures([state, From(0x200, 3040), From(0x201, 3040), From(0x202, 4540), From(0x203, 4540), From(0x204, 4540), From(0x205, 4540)], [state, From(0x200, 3040), From(0x201, 3040), From(0x202, 4540), From(0x203, 4540), From(0x204, 4540), From(0x205, 4540)]);

        Assert.Equal([5, 5, 6, 6, 6, 6], baseline.Messages.Skip(1).Select(message => Assert.Single(message.Condition!.Bits).Bit));
    }

    // The ignition is off behind the frame of 8.9 s: the messages stop then, and the next frame tells it after 95 ms, nearly their stale time.
    [Fact]
    public void What_stops_between_two_frames_that_tell_the_state_stops_with_it()
    {
        var baseline = LearnedCar.Of(Key(100, 12_000, IsOn), Until(0x200, 8910), Until(0x201, 8910));

        Assert.Equal(5, Assert.Single(baseline.Messages[1].Condition!.Bits).Bit);
        Assert.True(baseline.Messages[2].IsExpected);
    }

    // The last frame before the state was told otherwise came 400 ms earlier: the messages had stopped while it surely held.
    [Fact]
    public void What_stops_long_before_a_state_was_told_last_does_not_depend_on_it()
    {
        var baseline = LearnedCar.Of(Key(100, 12_000, IsOn), Until(0x200, 8500), Until(0x201, 8500));

        Assert.Null(baseline.Messages[1].Condition);
    }

    // A message of a second is not seen to stop within two seconds of the end.
    [Fact]
    public void A_state_that_ends_shortly_before_the_capture_does_is_the_condition_of_slow_messages_as_well()
    {
        SentMessage Slow(uint id) => new(id, LearnedCar.Every(1000, 5200, 19_000));
        var baseline = LearnedCar.Of(Key(20, 20_000, time => time is >= 5000 and < 19_000), Slow(0x200), Slow(0x201));

        Assert.Equal(5, Assert.Single(baseline.Messages[1].Condition!.Bits).Bit);
    }

    // While the end of the state is not told yet, and where the capture ends before it is, what ended with it must not be stale.
    [Theory]
    [InlineData(20, 100, 0)]
    [InlineData(200, 220, 200)]
    public void Stale_is_what_is_silent_for_longer_than_the_end_of_its_condition_takes_to_be_told(double period, double stale, double delay)
    {
        var baseline = LearnedCar.Of(Key(period, 12_000, IsOn), Until(0x200, 8995), Until(0x201, 8995));

        var timing = baseline.Messages[1].Timing;
        Assert.NotNull(baseline.Messages[1].Condition);
        Assert.Equal((stale, delay, delay > 0), (timing.StaleAfter.Milliseconds, timing.Delay.Milliseconds, timing.IsStaleWidened));
    }

    // A message of a second is seen up to a second later than it is there, and ends so much earlier: at both ends of each capture that would be much of a short one.
    [Fact]
    public void A_slow_message_that_is_there_to_the_end_of_a_capture_counts_until_that_end()
    {
        var baseline = LearnedCar.OfCaptures(
            [Key(20, 6000, time => time >= 2000), new SentMessage(0x200, LearnedCar.Every(1000, 2200, 6000)), new SentMessage(0x201, LearnedCar.Every(1000, 2200, 6000))],
            [Key(20, 6000, time => time < 4000), new SentMessage(0x200, LearnedCar.Every(1000, 700, 4000)), new SentMessage(0x201, LearnedCar.Every(1000, 700, 4000))]);

        Assert.Equal(5, Assert.Single(baseline.Messages[1].Condition!.Bits).Bit);
        Assert.True(baseline.Messages[2].IsExpected);
    }

    [Fact]
    public void A_condition_holds_in_all_captures_or_not_at_all()
    {
        // In the second capture the bit is never set, and the messages are sent all the same.
        var always = LearnedCar.Every(10, 0, 8000);
        var baseline = LearnedCar.OfCaptures(
            [body, Dependent(0x200), Dependent(0x201)],
            [new SentMessage(0x100, LearnedCar.Every(20, 0, 8000)), new SentMessage(0x200, always), new SentMessage(0x201, always)]);

        Assert.Null(baseline.Messages[1].Condition);
        Assert.False(baseline.Messages[1].IsExpected);
    }

    [Fact]
    public void A_message_that_lacks_in_a_whole_capture_is_explained_by_a_bit_that_is_never_set_there()
    {
        var baseline = LearnedCar.OfCaptures(
            [body, Dependent(0x200), Dependent(0x201)],
            [new SentMessage(0x100, LearnedCar.Every(20, 0, 8000))]);

        Assert.Equal(5, Assert.Single(baseline.Messages[1].Condition!.Bits).Bit);
    }

    // Key off in one capture, on in the other: neither shows it change.
    [Fact]
    public void A_bit_that_only_differs_between_captures_tells_when_messages_are_there()
    {
        SentMessage Key(bool isOn, bool isRunning) => new(0x100, LearnedCar.Every(20, 0, 8000), time => [(byte)((isOn ? 0x20 : 0) | (isRunning ? 0x40 : 0)), (byte)(time / 100)]);
        var (first, second) = (new SentMessage(0x200, LearnedCar.Every(10, 0, 8000)), new SentMessage(0x201, LearnedCar.Every(10, 0, 8000)));
        var baseline = LearnedCar.OfCaptures([Key(false, false)], [Key(true, false), first, second], [Key(true, true), first, second]);

        var condition = baseline.Messages[1].Condition!;
        Assert.Equal((5, true), (condition.Bits[0].Bit, condition.Bits[0].IsSet));
        Assert.Single(condition.Bits);
        Assert.False(condition.WasSeenToChange);
        Assert.Same(condition, baseline.Messages[2].Condition);
    }

    [Fact]
    public void A_bit_that_a_further_capture_contradicts_tells_nothing()
    {
        SentMessage Key(bool isOn) => new(0x100, LearnedCar.Every(20, 0, 8000), time => [(byte)(isOn ? 0x20 : 0), (byte)(time / 100)]);
        var (first, second) = (new SentMessage(0x200, LearnedCar.Every(10, 0, 8000)), new SentMessage(0x201, LearnedCar.Every(10, 0, 8000)));
        var baseline = LearnedCar.OfCaptures([Key(false)], [Key(true), first, second], [Key(true)]);

        Assert.Null(baseline.Messages[1].Condition);
    }

    // The odometer, the door and the temperature differ from one capture to another as well as the key does, and so do on and running.
    [Fact]
    public void Where_no_capture_shows_a_state_change_all_bits_that_differ_must_say_so()
    {
        SentMessage Differing(uint id, byte bits, bool isOn) => new(id, LearnedCar.Every(20, 0, 8000), time => [(byte)(isOn ? bits : 0), (byte)(time / 100)]);
        var always = LearnedCar.Every(10, 0, 8000).ToList();
        var baseline = LearnedCar.OfCaptures(
            [Differing(0x100, 0x60, false), Differing(0x101, 0x01, false)],
            [Differing(0x100, 0x60, true), Differing(0x101, 0x01, true), new SentMessage(0x200, always), new SentMessage(0x201, always)]);

        var condition = baseline.Messages[2].Condition!;
        Assert.Equal([(0x100u, 5), (0x100u, 6), (0x101u, 0)], condition.Bits.Select(bit => (bit.Id.Value, bit.Bit)).Order());
        Assert.Equal(3, condition.Demanded);
    }

    [Fact]
    public void A_message_that_lacks_in_a_capture_for_no_known_reason_is_not_expected()
    {
        var steady = new SentMessage(0x100, LearnedCar.Every(20, 0, 5000));
        var baseline = LearnedCar.OfCaptures([steady, new SentMessage(0x200, LearnedCar.Every(20, 0, 5000))], [steady]);

        Assert.True(baseline.Messages[0].IsExpected);
        Assert.False(baseline.Messages[1].IsExpected);
    }

    [Fact]
    public void One_message_that_comes_and_goes_with_a_bit_is_chance()
    {
        var baseline = LearnedCar.Of(body, Dependent(0x200));

        Assert.Null(baseline.Messages[1].Condition);
    }

    [Fact]
    public void Bits_that_turned_only_once_together_are_taken_together()
    {
        SentMessage Switch(uint id) => new(id, LearnedCar.Every(20, 0, 8000), time => [(byte)(IsOn(time) ? 1 : 0)]);
        var baseline = LearnedCar.Of(Switch(0x100), Switch(0x101), Switch(0x102), Until(0x200, 8000), Until(0x201, 8000));

        Assert.Equal([0x100u, 0x101u, 0x102u], baseline.Messages[3].Condition!.Bits.Select(bit => bit.Id.Value).Order());
    }

    [Fact]
    public void A_number_that_crosses_a_power_of_two_is_no_switch()
    {
        // 16 bits, big byte order: bit 0 of the high byte turns once, at 3 s, while the low byte runs.
        SentMessage number = new(0x100, LearnedCar.Every(20, 0, 8000), time => [(byte)(((int)time + 62_536) >> 16), (byte)(((int)time + 62_536) >> 8), (byte)((int)time + 62_536)]);
        var baseline = LearnedCar.Of(number, Until(0x200, 8000), Until(0x201, 8000));

        Assert.Null(baseline.Messages[1].Condition);
    }

    [Fact]
    public void A_pause_of_the_recording_is_nobodys_absence()
    {
        var times = LearnedCar.Every(20, 0, 3000).Concat(LearnedCar.Every(20, 6000, 9000)).ToList();
        var baseline = LearnedCar.Of(new SentMessage(0x100, times), new SentMessage(0x200, times));

        Assert.All(baseline.Messages, message => Assert.True(message.Attendance!.IsWhole));
    }

    private static SentMessage Key(double period, double end, Func<double, bool> isOn) =>
        new(0x100, LearnedCar.Every(period, 0, end), time => [(byte)(isOn(time) ? 0x20 : 0), (byte)(time / 100), 0, 0, 0, 0, 0, 0]);

    private static bool IsOn(double time) => time is >= 3000 and < 9000;

    private static SentMessage Dependent(uint id) => Until(id, 9030);

    private static SentMessage Until(uint id, double end) => new(id, LearnedCar.Every(10, 3040, end));
}
