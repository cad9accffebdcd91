using BusScope.Frames;
using BusScope.Health;
using BusScope.Session;
using BusScope.Session.Replay;
using BusScope.TestKit;
using Microsoft.Extensions.Time.Testing;
using Terminal.Gui.Input;
using Xunit;

namespace BusScope.Terminal.Tests;

/// <summary>The pages beside the home screen: buses, events, unknown identifiers, what just changed.</summary>
public sealed class PageTests
{
    private readonly ReplayPace pace = new(new FakeTimeProvider());

    public static TheoryData<int, int> Sizes => new() { { 80, 24 }, { 120, 40 } };

    [Theory]
    [MemberData(nameof(Sizes))]
    public void Live_buses(int width, int height)
    {
        using var screen = new HeadlessScreen(Dunlin.Live, width, height);

        screen.Show(Dunlin.Seconds(70)).Press((Key)'b');

        Snapshot.Match(screen.Text, $"{width}x{height}");
    }

    [Fact]
    public void Live_buses_in_plain_letters()
    {
        using var screen = new HeadlessScreen(Dunlin.Live, 100, 30, new ScreenOptions { IsAscii = true });

        screen.Show(Dunlin.Seconds(70)).Press((Key)'b');

        Snapshot.Match(screen.Text);
        Assert.All(screen.Text, c => Assert.InRange(c, '\n', '~'));
    }

    [Theory]
    [MemberData(nameof(Sizes))]
    public void A_live_car_has_no_time_line_and_no_keys_for_it(int width, int height)
    {
        using var screen = new HeadlessScreen(Dunlin.Live, width, height);

        Snapshot.Match(screen.Text, $"{width}x{height}");
        Assert.All(["stop", "step", "speed", "%  100", "replay"], word => Assert.DoesNotContain(word, screen.Text.Split('\n')[^1], StringComparison.Ordinal));
        Assert.Contains("NOT listen-only: cabin", screen.Text, StringComparison.Ordinal);
        Assert.Contains("UNPLUGGED", screen.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_recording_has_buses_but_no_controllers()
    {
        using var screen = Open(Dunlin.Faulty);

        screen.Press((Key)'b');

        Snapshot.Match(screen.Text);
    }

    [Fact]
    public void A_bus_that_never_spoke_is_shown_with_what_its_adapter_says()
    {
        var quiet = new SessionSnapshot(new HealthReport(Verdict.Inconclusive), Dunlin.Healthy.Plan)
        {
            Source = "can7",
            Buses = [new Bus("can7")],
            Controllers = [new ControllerStatus(ControllerState.BusOff) { IsListenOnly = false }],
        };
        using var screen = new HeadlessScreen(quiet);

        Assert.Contains("BUS-OFF", screen.Text, StringComparison.Ordinal);
        screen.Press((Key)'b');
        Assert.Contains("no frame yet", screen.Text, StringComparison.Ordinal);
        Assert.Contains("NOT listen-only", screen.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void More_buses_than_fit_are_scrolled()
    {
        var buses = Enumerable.Range(0, 8).Select(i => new BusHealth($"line{i}") { Frames = 1, Last = Dunlin.At(42) }).ToArray();
        using var screen = Open(Dunlin.Faulty with { Health = Dunlin.Faulty.Health with { Buses = buses } });

        screen.Press((Key)'b', Key.CursorDown);

        Assert.Contains("─ line1 ", screen.Text, StringComparison.Ordinal);
        Assert.DoesNotContain("─ line0 ", screen.Text, StringComparison.Ordinal);
        screen.Press(Key.End);
        Assert.Contains("─ line7 ", screen.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_history_without_a_bit_rate_is_one_of_frames()
    {
        var snapshots = Dunlin.Seconds(5).Select(each => each with { Health = each.Health with { Buses = [.. each.Health.Buses.Select(bus => bus with { LoadNow = null, LoadMean = null, LoadPeak = null })] } });
        using var screen = new HeadlessScreen(Dunlin.Live, 80, 24);

        screen.Show(snapshots).Press((Key)'b');

        Assert.Contains(" 2,700/s ·", screen.Text, StringComparison.Ordinal);
        Assert.Contains("████", screen.Text, StringComparison.Ordinal);
    }

    [Theory]
    [MemberData(nameof(Sizes))]
    public void Unknown_identifiers(int width, int height)
    {
        using var screen = Open(WithStrangers(), width, height);

        screen.Press((Key)'u', Key.CursorDown);

        Snapshot.Match(screen.Text, $"{width}x{height}");
        screen.Press(Key.Enter);
        Assert.Contains("0x10C on ", screen.Text, StringComparison.Ordinal);
        screen.Press(Key.Esc);
        Assert.Contains("Unknown identifiers", screen.Text, StringComparison.Ordinal);
    }

    [Theory]
    [MemberData(nameof(Sizes))]
    public void What_just_changed(int width, int height)
    {
        using var screen = Open(WithStrangers(), width, height);

        screen.Press((Key)'c');

        Snapshot.Match(screen.Text, $"{width}x{height}");
    }

    [Fact]
    public void What_changed_longer_ago_is_not_among_it()
    {
        var health = Dunlin.Faulty.Health;
        using var screen = Open(Dunlin.Faulty with { Health = health with { Now = Dunlin.At(46.95) } });

        screen.Press((Key)'c');
        Assert.Contains("EngineSpeed", screen.Text, StringComparison.Ordinal);
        screen.Snapshot = Dunlin.Faulty with { Number = 9, Health = health with { Now = Dunlin.At(47.05) } };
        screen.Draw();

        Assert.DoesNotContain("EngineSpeed", screen.Text, StringComparison.Ordinal);
        Assert.Contains("no byte changed within the last 5 s", screen.Text, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("missing chassis", "EngineTorque", "KeyPosition")]
    [InlineData("0x2b4", "CabinTemp", "EngineSpeed")]
    [InlineData("steering", "WheelSpeeds", "EngineSpeed")]
    public void A_filter_finds_messages_by_state_and_bus_by_identifier_and_by_the_modules_that_need_them(string words, string kept, string gone)
    {
        using var screen = Open(Dunlin.Faulty, 120, 40);

        screen.Press(Key.End, (Key)'/').Type(words).Press(Key.Enter, Key.End);

        var messages = string.Join('\n', screen.Text.Split('\n').SkipWhile(line => !line.Contains("Every message", StringComparison.Ordinal)).TakeWhile(line => !line.Contains("Events", StringComparison.Ordinal)));
        Assert.Contains(kept, messages, StringComparison.Ordinal);
        Assert.DoesNotContain(gone, messages, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(1, "EngineTorque", "WheelSpeeds")]
    [InlineData(2, "AirbagState", "CabinTemp")]
    [InlineData(3, "AirbagState", "EngineSpeed")]
    [InlineData(4, "EngineSpeed", "KeyPosition")]
    public void The_order_of_messages_goes_round(int presses, string first, string later)
    {
        using var screen = Open(Dunlin.Faulty, 80, 40);

        screen.Press(Key.End);
        for (var i = 0; i < presses; i++)
        {
            screen.Press((Key)'o');
        }

        var lines = screen.Text.Split('\n').SkipWhile(line => !line.Contains("Every message", StringComparison.Ordinal)).ToList();
        Assert.Contains(first, lines[2], StringComparison.Ordinal);
        Assert.InRange(lines.FindIndex(line => line.Contains(later, StringComparison.Ordinal)), 3, 20);
    }

    [Fact]
    public void From_an_event_to_its_message_its_module_and_its_bus()
    {
        using var screen = Open(Dunlin.Faulty);

        screen.Press((Key)'e', Key.Enter);
        Assert.Contains("▸◆ STALE    WheelSpeeds", screen.Text, StringComparison.Ordinal);
        screen.Press((Key)'e', Key.CursorDown, Key.Enter);
        Assert.Contains("─ cabin ", screen.Text, StringComparison.Ordinal);
        screen.Press((Key)'e', Key.CursorDown, Key.CursorDown, Key.CursorDown, Key.Enter);
        Assert.Contains("▸✖ NO-GO        Transmission", screen.Text, StringComparison.Ordinal);
        screen.Press((Key)'e', Key.CursorDown, Key.CursorDown, Key.Enter);
        Assert.Contains("▸· seen     0x0FB", screen.Text, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(0, "Transmission lives on")]
    [InlineData(5, "Instrument cluster lives on")]
    public void A_message_is_shown_under_the_chosen_module_where_that_needs_it_else_under_the_first_that_does(int module, string title)
    {
        using var screen = Open(Dunlin.Faulty);
        screen.Press(Key.Home);
        for (var i = 0; i < module; i++)
        {
            screen.Press(Key.CursorDown);
        }

        screen.Press((Key)'e', Key.Enter);

        Assert.Contains(title, screen.Text, StringComparison.Ordinal);
        Assert.Contains("▸◆ STALE    WheelSpeeds", screen.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void The_chosen_event_stays_chosen_while_others_come()
    {
        using var screen = Open(Dunlin.Faulty);
        screen.Press((Key)'e', Key.CursorDown);

        screen.Snapshot = Dunlin.Faulty with { Number = 8, Events = [.. Dunlin.Faulty.Events, new SessionEvent(Dunlin.At(42), "bus race speaks again", FindingSeverity.Note)] };
        screen.Draw();

        Assert.Contains("▸0:20.500", screen.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Events_are_filtered_by_their_words()
    {
        using var screen = Open(Dunlin.Faulty);

        screen.Press((Key)'e', (Key)'/').Type("chassis stale").Press(Key.Enter);

        Assert.Contains("WheelSpeeds on chassis went stale", screen.Text, StringComparison.Ordinal);
        Assert.DoesNotContain("Transmission", screen.Text, StringComparison.Ordinal);
        screen.Press(Key.Esc);
        Assert.Contains("Transmission: NO-GO", screen.Text, StringComparison.Ordinal);
        screen.Press(Key.Esc);
        Assert.Contains("lives on", screen.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Help_of_a_live_session_leaves_out_the_keys_of_recordings()
    {
        using var screen = new HeadlessScreen(Dunlin.Live);

        screen.Press((Key)'?');

        Assert.All(Screens.Keys.All, key => Assert.Equal(!key.ForReplay, screen.Text.Contains(key.Meaning, StringComparison.Ordinal)));
    }

    [Fact]
    public void Help_goes_back_to_the_page_it_was_asked_on()
    {
        using var screen = Open(Dunlin.Faulty);

        screen.Press((Key)'b', (Key)'?', (Key)'?');

        Assert.Contains("load now", screen.Text, StringComparison.Ordinal);
    }

    private static SessionSnapshot WithStrangers()
    {
        var health = Dunlin.Faulty.Health;
        return Dunlin.Faulty with { Health = health with { Messages = [.. health.Messages, .. Dunlin.Undocumented.Health.Messages.Skip(4).Take(6)] } };
    }

    private HeadlessScreen Open(SessionSnapshot snapshot, int width = 80, int height = 24) => new(snapshot, width, height, null, pace);
}
