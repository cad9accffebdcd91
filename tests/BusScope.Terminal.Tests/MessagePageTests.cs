using BusScope.Frames;
using BusScope.Health;
using BusScope.Session;
using BusScope.Session.Readings;
using BusScope.Session.Replay;
using BusScope.TestKit;
using Microsoft.Extensions.Time.Testing;
using Terminal.Gui.Input;
using Xunit;

namespace BusScope.Terminal.Tests;

/// <summary>The page of one message.</summary>
public sealed class MessagePageTests
{
    private readonly ReplayPace pace = new(new FakeTimeProvider());

    public static TheoryData<int, int> Sizes => new() { { 80, 24 }, { 120, 40 } };

    [Theory]
    [MemberData(nameof(Sizes))]
    public void A_message_bit_by_bit(int width, int height)
    {
        using var screen = Open(Dunlin.Guarded, width, height);

        Answer(screen.Press(Key.CursorDown, Key.Enter, Key.Enter));

        Snapshot.Match(screen.Text, $"{width}x{height}");
    }

    [Theory]
    [MemberData(nameof(Sizes))]
    public void A_long_payload(int width, int height)
    {
        using var screen = Open(Dunlin.Long, width, height);

        Answer(screen.Press(Key.Enter));
        for (var i = 0; i < 50; i++)
        {
            screen.Press(Key.CursorDown);
        }

        Snapshot.Match(screen.Text, $"{width}x{height}");
    }

    [Fact]
    public void A_message_in_plain_letters()
    {
        using var screen = new HeadlessScreen(Dunlin.Guarded, 100, 30, new ScreenOptions { IsAscii = true }, pace);

        Answer(screen.Press(Key.CursorDown, Key.Enter, Key.Enter));

        Snapshot.Match(screen.Text);
        Assert.All(screen.Text, c => Assert.InRange(c, '\n', '~'));
    }

    [Fact]
    public void Enter_goes_from_module_to_message_to_its_page_and_escape_back()
    {
        using var screen = Open(Dunlin.Faulty);

        screen.Press(Key.Enter, Key.Enter);
        Assert.Contains("EngineTorque 0x0D1 on chassis", screen.Text, StringComparison.Ordinal);
        screen.Press(Key.Esc);
        Assert.Contains("Transmission lives on 3", screen.Text, StringComparison.Ordinal);
        screen.Press(Key.CursorUp, Key.Enter);
        Assert.Contains("EngineSpeed 0x0C8 on chassis", screen.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void From_unknown_identifiers_a_message_goes_back_to_them()
    {
        using var screen = Open(Dunlin.Faulty);

        screen.Press((Key)'u', Key.Enter);
        Assert.Contains("0x0FB on race", screen.Text, StringComparison.Ordinal);
        Assert.Contains("no definition", screen.Text, StringComparison.Ordinal);
        screen.Press(Key.Esc);
        Assert.Contains("Unknown identifiers", screen.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void The_cursor_says_which_signal_a_bit_belongs_to_and_stays_within_the_payload()
    {
        using var screen = Open(Dunlin.Guarded);
        screen.Press(Key.CursorDown, Key.Enter, Key.Enter);
        Assert.Contains("at 0.7 EngineSpeed", screen.Text, StringComparison.Ordinal);

        screen.Press(Key.CursorLeft);
        Assert.Contains("begins with byte 0", screen.Text, StringComparison.Ordinal);
        screen.Press(Key.CursorDown, Key.CursorDown, Key.CursorRight);
        Assert.Contains("at 2.6 CoolantTemp", screen.Text, StringComparison.Ordinal);
        screen.Press(Key.CursorDown, Key.CursorLeft, Key.CursorLeft);
        Assert.Contains("at 2.0 CoolantTemp", screen.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_bit_that_changed_a_moment_ago_follows_a_star()
    {
        using var screen = Open(Dunlin.Guarded);
        screen.Press(Key.CursorDown, Key.Enter, Key.Enter);
        Assert.DoesNotContain("A*", FirstByte(), StringComparison.Ordinal);

        screen.Snapshot = With(Dunlin.Guarded, 8, message => message with { Payload = Some.Bytes("0E A0 7B 00 00 03 0A 34") }, 42.01);
        screen.Draw();
        Assert.Contains("0A*", FirstByte(), StringComparison.Ordinal);

        screen.Snapshot = With(screen.Snapshot, 9, message => message, 43);
        screen.Draw();
        Assert.DoesNotContain("A*", FirstByte(), StringComparison.Ordinal);

        string FirstByte() => screen.Text.Split('\n').First(line => line.StartsWith("  0 ", StringComparison.Ordinal));
    }

    [Fact]
    public void A_wrong_checksum_and_a_counter_that_cannot_be_are_told()
    {
        using var screen = Open(With(Dunlin.Guarded, 8, message => message with { Payload = Some.Bytes("0F A0 7B 00 00 03 0E 35") }, 42));

        screen.Press(Key.CursorDown, Key.Enter, Key.Enter);

        Assert.Contains("# counter 14, impossible", screen.Text, StringComparison.Ordinal);
        Assert.Contains("= checksum WRONG, wrong 3", screen.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_message_that_is_not_there_any_more_is_said_so_and_no_other_takes_its_place()
    {
        using var screen = Open(Dunlin.Faulty);
        screen.Press((Key)'u', Key.Enter);

        screen.Snapshot = Dunlin.Faulty with { Number = 9, Health = Dunlin.Faulty.Health with { Messages = [.. Dunlin.Faulty.Health.Messages.SkipLast(1)] } };
        screen.Draw();

        Assert.Contains("not seen at this moment", screen.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Only_the_page_that_shows_them_asks_for_gaps()
    {
        using var screen = Open(Dunlin.Guarded);
        Assert.Null(screen.FollowedMessage);

        screen.Press(Key.CursorDown, Key.Enter, Key.Enter);
        Assert.Equal(new MessageRequest("chassis", new CanId(0x0C8, false), null), screen.FollowedMessage);
        screen.Press(Key.Esc);
        Assert.Null(screen.FollowedMessage);
    }

    [Fact]
    public void Help_on_this_page_begins_with_its_own_keys()
    {
        using var screen = Open(Dunlin.Guarded);

        screen.Press(Key.CursorDown, Key.Enter, Key.Enter, (Key)'?');

        Assert.All(Screens.Keys.OfMessage, key => Assert.Contains(key.Meaning, screen.Text, StringComparison.Ordinal));
        screen.Press((Key)'?');
        Assert.Contains("EngineSpeed 0x0C8", screen.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Every_size_down_to_nothing_is_painted_and_found_again()
    {
        foreach (var snapshot in new[] { Dunlin.Guarded, Dunlin.Long })
        {
            using var screen = Open(snapshot);
            screen.Press(Key.CursorDown, Key.Enter, Key.Enter, (Key)'d', Key.CursorDown);
            Answer(screen);
            var before = screen.Text;

            foreach (var (width, height) in new[] { (200, 60), (60, 16), (59, 15), (20, 5), (1, 1), (132, 43), (80, 24) })
            {
                screen.Resize(width, height);
            }

            Assert.Equal(before, screen.Text);
        }
    }

    [Fact]
    public void The_smallest_screen_has_room_for_bits_and_signals()
    {
        using var screen = Open(Dunlin.Guarded, 60, 16);

        screen.Press(Key.CursorDown, Key.Enter, Key.Enter);

        Assert.Contains("  0 *0F ▸0A", screen.Text, StringComparison.Ordinal);
        Assert.Contains("▸A EngineSpeed", screen.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Nothing_is_sent_when_nothing_changed()
    {
        using var screen = Open(Dunlin.Guarded);

        Answer(screen.Press(Key.CursorDown, Key.Enter, Key.Enter));

        Assert.Equal((0, 0), screen.SentByRefresh());
    }

    internal static SessionSnapshot With(SessionSnapshot snapshot, long number, Func<MessageHealth, MessageHealth> change, double now) => snapshot with
    {
        Number = number,
        Health = snapshot.Health with { Now = Dunlin.At(now), Messages = [change(snapshot.Health.Messages[0]), .. snapshot.Health.Messages.Skip(1)] },
    };

    // Most gaps lie around 10 ms; a few at twice that.
    internal static void Answer(HeadlessScreen screen)
    {
        var gaps = new GapDistribution(
            FrameSpan.FromMilliseconds(8.8),
            FrameSpan.FromMilliseconds(0.1),
            [.. Enumerable.Range(0, GapDistribution.Steps).Select(i => (long)(630 * Math.Exp(-(i - 11.5) * (i - 11.5) / 14)))],
            0,
            3,
            FrameSpan.FromMilliseconds(10));
        screen.Snapshot = screen.Snapshot with
        {
            Number = screen.Snapshot.Number + 1,
            Message = screen.FollowedMessage is { } request ? new MessageReading(request, gaps, request.Field is null ? null : new FieldRange(12, 240, 123)) : null,
        };
        screen.Draw();
    }

    private HeadlessScreen Open(SessionSnapshot snapshot, int width = 80, int height = 24) => new(snapshot, width, height, null, pace);
}
