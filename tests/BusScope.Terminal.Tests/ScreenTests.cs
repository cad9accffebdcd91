using BusScope.Frames;
using BusScope.Health;
using BusScope.Session;
using BusScope.Session.Replay;
using BusScope.TestKit;
using Microsoft.Extensions.Time.Testing;
using Terminal.Gui.Drawing;
using Terminal.Gui.Input;
using Xunit;

namespace BusScope.Terminal.Tests;

public sealed class ScreenTests
{
    private readonly ReplayPace pace = new(new FakeTimeProvider());

    public static TheoryData<int, int> Sizes => new() { { 80, 24 }, { 120, 40 }, { 200, 60 } };

    [Theory]
    [MemberData(nameof(Sizes))]
    public void A_car_after_the_swap(int width, int height)
    {
        using var screen = Open(Dunlin.Faulty, width, height);

        Snapshot.Match(screen.Text, $"{width}x{height}");
    }

    [Theory]
    [MemberData(nameof(Sizes))]
    public void A_car_that_nobody_documents(int width, int height)
    {
        using var screen = Open(Dunlin.Undocumented, width, height);

        Snapshot.Match(screen.Text, $"{width}x{height}");
    }

    [Fact]
    public void A_healthy_car_shows_the_signals_of_the_chosen_message()
    {
        using var screen = Open(Dunlin.Healthy);

        screen.Press(Key.CursorDown, Key.Tab);

        Snapshot.Match(screen.Text);
    }

    [Fact]
    public void All_in_plain_letters()
    {
        using var screen = Open(Dunlin.Faulty, options: new ScreenOptions { IsAscii = true });

        Snapshot.Match(screen.Text);
        Assert.All(screen.Text, c => Assert.InRange(c, '\n', '~'));
    }

    [Fact]
    public void The_help_page_shows_every_key_on_the_smallest_usual_screen()
    {
        using var screen = Open(Dunlin.Faulty);

        screen.Press((Key)'?');

        Snapshot.Match(screen.Text);
        Assert.All(Screens.Keys.All, key => Assert.Contains(key.Meaning, screen.Text, StringComparison.Ordinal));
        screen.Press((Key)'?');
        Assert.Contains("NO-GO", screen.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void The_page_of_events_shows_the_newest_first()
    {
        using var screen = Open(Dunlin.Faulty);

        screen.Press((Key)'e');

        Snapshot.Match(screen.Text);
    }

    [Fact]
    public void A_filter_keeps_what_its_words_find()
    {
        using var screen = Open(Dunlin.Faulty);

        screen.Press((Key)'/', (Key)'d', (Key)'o', (Key)'o', (Key)'r', (Key)'q');
        Assert.False(screen.HasLeft);
        screen.Press(Key.Backspace, Key.Enter);

        Snapshot.Match(screen.Text);
        Assert.DoesNotContain("Steering", screen.Text, StringComparison.Ordinal);
        screen.Press(Key.Esc);
        Assert.Contains("Steering", screen.Text, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("0x1B6", "0x1B6", "0x1C7")]
    [InlineData("cabin", "0x24F", "0x0C8")]
    public void A_filter_finds_identifiers_and_buses(string words, string kept, string gone)
    {
        using var screen = Open(Dunlin.Undocumented, 120, 40);

        screen.Press([(Key)'/', .. words.Select(c => (Key)c), Key.Enter]);

        Assert.Contains(kept, screen.Text, StringComparison.Ordinal);
        Assert.DoesNotContain(gone, screen.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void The_worst_stand_first_when_asked_for()
    {
        using var screen = Open(Dunlin.Faulty);

        screen.Press((Key)'o');

        Assert.Contains("Transmission", screen.Text.Split('\n')[2], StringComparison.Ordinal);
        Assert.Contains("Brake control", screen.Text.Split('\n')[3], StringComparison.Ordinal);
    }

    [Fact]
    public void The_chosen_message_stays_chosen_while_others_appear_before_it()
    {
        using var screen = Open(Dunlin.Undocumented);
        screen.Press(Key.CursorDown, Key.CursorDown);
        var health = Dunlin.Undocumented.Health;

        var newcomer = health.Messages[0] with { Id = new CanId(0x001, false) };
        screen.Snapshot = Dunlin.Undocumented with { Number = 8, Health = health with { Messages = [newcomer, .. health.Messages] } };
        screen.Draw();

        Assert.Contains("▸0x0EA", screen.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Keys_turn_the_pace()
    {
        using var screen = Open(Dunlin.Faulty);

        screen.Press(Key.Space);
        Assert.True(pace.IsPaused);
        screen.Press(Key.Space, (Key)'+');
        Assert.False(pace.IsPaused);
        Assert.Equal(2, pace.Speed);
        screen.Press((Key)'-', (Key)'-');
        Assert.Equal(0.5, pace.Speed);
        screen.Press((Key)'m');
        Assert.Equal(ReplayPace.AsFastAsPossible, pace.Speed);
        screen.Press((Key)'-');
        Assert.Equal(100, pace.Speed);
        screen.Press((Key)'1');
        Assert.Equal(1, pace.Speed);
        screen.Press((Key)'s');
        Assert.True(pace.IsPaused);
    }

    [Fact]
    public void A_replay_that_stands_still_says_so()
    {
        using var screen = Open(Dunlin.Faulty with { IsPaused = true });

        Assert.Contains("stands still", screen.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_source_that_failed_says_why()
    {
        using var screen = Open(Dunlin.Faulty with { Failure = "can0: the adapter is gone", HasEnded = true });

        Assert.Contains("SOURCE FAILED", screen.Text, StringComparison.Ordinal);
        Assert.Contains("can0: the adapter is gone", screen.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_caution_stays_in_view()
    {
        using var screen = Open(Dunlin.Healthy, options: new ScreenOptions { Caution = "cranking: keep hands and people clear of the engine" });

        Assert.Contains("! cranking: keep hands", screen.Text, StringComparison.Ordinal);
        screen.Press((Key)'e');
        Assert.Contains("! cranking: keep hands", screen.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Only_q_and_control_c_leave()
    {
        using var screen = Open(Dunlin.Faulty);

        screen.Press(Key.Esc, Key.Enter, (Key)'x');
        Assert.False(screen.HasLeft);
        screen.Press((Key)'q');
        Assert.True(screen.HasLeft);
    }

    [Fact]
    public void Control_c_leaves_even_while_a_filter_is_typed()
    {
        using var screen = Open(Dunlin.Faulty);

        screen.Press((Key)'/', Key.C.WithCtrl);

        Assert.True(screen.HasLeft);
    }

    [Fact]
    public void Nothing_is_sent_when_nothing_changed()
    {
        using var screen = Open(Dunlin.Faulty);

        Assert.Equal((0, 0), screen.SentByRefresh());
    }

    [Fact]
    public void A_screen_of_another_size_is_sent_whole_and_the_library_has_nothing_to_send()
    {
        using var screen = Open(Dunlin.Faulty);

        var (characters, libraryLines) = screen.SentByRefresh(120, 40);

        Assert.True(characters > 120 * 40);
        Assert.Equal(0, libraryLines);
    }

    [Fact]
    public void Only_what_changed_is_sent()
    {
        using var screen = Open(Dunlin.Faulty);

        screen.Snapshot = Dunlin.Faulty with { Number = 8, Progress = 0.72 };

        Assert.InRange(screen.SentByRefresh().Characters, 1, 90);
    }

    [Fact]
    public void Every_size_down_to_nothing_is_painted_and_found_again()
    {
        using var screen = Open(Dunlin.Faulty);
        var before = screen.Text;

        foreach (var (width, height) in new[] { (200, 60), (60, 16), (59, 15), (20, 5), (1, 1), (132, 43), (80, 24) })
        {
            screen.Resize(width, height);
        }

        Assert.Equal(before, screen.Text);
    }

    [Fact]
    public void Without_colours_only_weight_and_reversal_tell_apart()
    {
        using var screen = Open(Dunlin.Faulty, options: new ScreenOptions { IsMonochrome = true });

        Assert.All(screen.Attributes(), attribute => Assert.Equal((Color.None, Color.None), (attribute.Foreground, attribute.Background)));
        Assert.True(screen.AttributeOf("NO-GO").Style.HasFlag(TextStyle.Reverse));
    }

    [Fact]
    public void Names_from_files_cannot_command_the_terminal()
    {
        var health = Dunlin.Faulty.Health;
        var hostile = health.Modules[0].Definition with { GivenTitle = "A\e[2J\u202Eevil漢字" };

        using var screen = Open(Dunlin.Faulty with { Source = "x\e]0;y\a", Health = health with { Modules = [health.Modules[0] with { Definition = hostile }, .. health.Modules.Skip(1)] } }, 120, 40);

        Assert.Contains(@"A\u001B[2J\u202Eevil", screen.Text, StringComparison.Ordinal);
        Assert.DoesNotContain('\e', screen.Text);
        Assert.DoesNotContain('漢', screen.Text);
    }

    [Fact]
    public void A_session_that_has_seen_nothing_yet_is_shown()
    {
        using var screen = Open(new SessionSnapshot(new HealthReport(Verdict.Inconclusive), Dunlin.Healthy.Plan) { Source = "can0" });

        Assert.Contains("no bus has spoken yet", screen.Text, StringComparison.Ordinal);
        Assert.Contains("inconclusive", screen.Text, StringComparison.OrdinalIgnoreCase);
    }

    private HeadlessScreen Open(SessionSnapshot snapshot, int width = 80, int height = 24, ScreenOptions? options = null) => new(snapshot, width, height, options, pace);
}
