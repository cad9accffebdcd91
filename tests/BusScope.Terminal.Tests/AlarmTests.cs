using System.Text;
using System.Xml.Linq;
using BusScope.Health;
using BusScope.Session;
using BusScope.TestKit;
using Terminal.Gui.Input;
using Xunit;

namespace BusScope.Terminal.Tests;

/// <summary>What is done by keys beside looking: the alarm, marks, screen shots.</summary>
public sealed class AlarmTests : IDisposable
{
    private readonly DirectoryInfo folder = Directory.CreateTempSubdirectory("busscope-");

    public static TheoryData<int, int> Sizes => new() { { 80, 24 }, { 120, 40 } };

    public void Dispose() => folder.Delete(recursive: true);

    [Theory]
    [MemberData(nameof(Sizes))]
    public void An_alarm_rings_flashes_and_is_quieted_by_any_key_which_does_nothing_else(int width, int height)
    {
        using var screen = new HeadlessScreen(Dunlin.Live, width, height);
        screen.Press((Key)'a');
        Assert.Equal(0, screen.Rings);

        screen.Snapshot = WithNoGo("Steering");
        screen.Draw();
        Assert.Equal(1, screen.Rings);
        Snapshot.Match(screen.Text, $"{width}x{height}");
        var bright = screen.AttributeOf("ALARM ");
        screen.Pass(0.6);
        Assert.NotEqual(bright, screen.AttributeOf("ALARM "));
        screen.Pass(0.6);
        Assert.Equal(bright, screen.AttributeOf("ALARM "));
        screen.Pass(1);
        Assert.Equal(2, screen.Rings);

        screen.Press((Key)'q');
        Assert.False(screen.HasLeft);
        Assert.DoesNotContain("ALARM", screen.Text, StringComparison.Ordinal);
        screen.Pass(10);
        Assert.Equal(2, screen.Rings);
    }

    [Fact]
    public void Nothing_rings_before_it_was_turned_on_nor_for_what_was_wrong_then()
    {
        using var screen = new HeadlessScreen(Dunlin.Live);

        screen.Snapshot = WithNoGo("Steering");
        screen.Draw().Press((Key)'a');
        screen.Snapshot = WithNoGo("Steering") with { Number = 9 };
        screen.Draw();
        Assert.Equal(0, screen.Rings);
        screen.Snapshot = WithNoGo("Steering", "Body") with { Number = 10 };
        screen.Draw();

        Assert.Equal(1, screen.Rings);
        Assert.Contains("ALARM  Body: NO-GO", screen.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Modules_that_fall_one_after_another_are_quieted_once()
    {
        using var screen = new HeadlessScreen(Dunlin.Live);
        screen.Press((Key)'a');
        string[] fallen = ["Body", "Climate", "Steering"];
        void Fall(int count)
        {
            screen.Snapshot = WithNoGo(fallen[..count]) with { Number = 8 + count };
            screen.Draw();
        }

        Fall(1);
        screen.Press((Key)'x').Pass(1.9);
        Fall(2);
        Assert.Equal(1, screen.Rings);
        screen.Pass(0.2);
        Fall(3);

        Assert.Equal(2, screen.Rings);
        Assert.Contains("ALARM  Steering: NO-GO", screen.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void What_went_wrong_again_rings_again()
    {
        using var screen = new HeadlessScreen(Dunlin.Live);
        screen.Press((Key)'a');

        foreach (var snapshot in new[] { WithNoGo("Body"), Dunlin.Live, WithNoGo("Body") })
        {
            screen.Snapshot = snapshot;
            screen.Draw();
        }

        Assert.Equal(2, screen.Rings);
    }

    [Fact]
    public void A_chosen_message_alone_may_sound_it()
    {
        using var screen = new HeadlessScreen(Dunlin.Live, 120, 40);
        screen.Press(Key.CursorDown, Key.Tab, (Key)'A');
        Assert.Contains("alarm when EngineSpeed stays away", screen.Text, StringComparison.Ordinal);

        screen.Snapshot = WithNoGo("Body");
        screen.Draw();
        Assert.Equal(0, screen.Rings);
        screen.Snapshot = WithState(MessageState.Late);
        screen.Draw();
        Assert.Equal(0, screen.Rings);
        screen.Snapshot = WithState(MessageState.Stale);
        screen.Draw();

        Assert.Equal(1, screen.Rings);
        Assert.Contains("EngineSpeed: STALE", screen.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_chosen_message_whose_bus_falls_silent_sounds_it()
    {
        using var screen = new HeadlessScreen(Dunlin.Live, 120, 40);
        screen.Press(Key.CursorDown, Key.Tab, (Key)'A');
        var health = Dunlin.Live.Health;

        screen.Snapshot = Dunlin.Live with { Number = 9, Health = health with { Messages = [health.Messages[0] with { BusIsSilent = true }, .. health.Messages.Skip(1)] } };
        screen.Draw();

        Assert.Equal(1, screen.Rings);
        Assert.Contains("EngineSpeed: stays away", screen.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void The_mark_of_a_chosen_message_comes_and_goes()
    {
        using var screen = new HeadlessScreen(Dunlin.Live, 120, 40);

        screen.Press(Key.CursorDown, Key.Tab, (Key)'A', Key.CursorDown);
        Assert.Contains("a● fresh    EngineSpeed", screen.Text, StringComparison.Ordinal);
        Assert.Contains(" alarm 1 ", screen.Text, StringComparison.Ordinal);
        screen.Press(Key.CursorUp, (Key)'A', Key.CursorDown);

        Assert.DoesNotContain("a● fresh", screen.Text, StringComparison.Ordinal);
        Assert.DoesNotContain(" alarm 1 ", screen.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_chosen_identifier_without_a_definition_sounds_it_when_it_stays_away()
    {
        var health = Dunlin.Undocumented.Health;
        using var screen = new HeadlessScreen(Dunlin.Undocumented);
        screen.Press((Key)'A');

        screen.Snapshot = Dunlin.Undocumented with { Number = 8, Health = health with { Now = Dunlin.At(42.9) } };
        screen.Draw();
        Assert.Equal(0, screen.Rings);
        screen.Snapshot = Dunlin.Undocumented with { Number = 9, Health = health with { Now = Dunlin.At(43.1) } };
        screen.Draw();

        Assert.Equal(1, screen.Rings);
        Assert.Contains("0x0C8: stays away", screen.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Turning_it_on_and_off_is_told()
    {
        using var screen = new HeadlessScreen(Dunlin.Live);

        Assert.Contains("alarm on every NO-GO", screen.Press((Key)'a').Text, StringComparison.Ordinal);
        Assert.Contains("alarm NO-GO", screen.Text.Split('\n')[^2], StringComparison.Ordinal);
        Assert.Contains("alarm off", screen.Press((Key)'a').Text, StringComparison.Ordinal);
        screen.Pass(5);
        Assert.DoesNotContain("alarm off", screen.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_mark_is_set_with_the_note_that_was_typed()
    {
        using var screen = new HeadlessScreen(Dunlin.Live with { IsRecorded = true });

        screen.Press((Key)'n').Type("key turned; quick?");
        Assert.Contains("mark, recorded: key turned; quick?_", screen.Text, StringComparison.Ordinal);
        screen.Press(Key.Enter);

        Assert.Equal(["key turned; quick?"], screen.Notes);
        Assert.Contains("mark set, and written into the recording", screen.Text, StringComparison.Ordinal);
        screen.Press((Key)'n').Type("no").Press(Key.Esc);
        Assert.Single(screen.Notes);
        screen.Press((Key)'n', Key.Enter);
        Assert.Equal("", screen.Notes[1]);
    }

    [Fact]
    public void A_mark_stands_among_the_events_and_leads_nowhere()
    {
        using var screen = new HeadlessScreen(Dunlin.Faulty with { Events = [new SessionEvent(Dunlin.At(40), "mark: key turned", FindingSeverity.Note) { IsMark = true }] });

        screen.Press((Key)'e', Key.Enter);

        Assert.Contains("▸0:40.000   ▾ mark: key turned", screen.Text, StringComparison.Ordinal);
        Assert.Contains("a mark is about no message", screen.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_screen_shot_is_what_stands_on_the_screen_and_touches_no_other_file()
    {
        using var screen = new HeadlessScreen(Dunlin.Live, options: new ScreenOptions { PictureFolder = folder.FullName });
        var shown = screen.Text;

        screen.Press((Key)'p', (Key)'p');

        var first = File.ReadAllText(Path.Combine(folder.FullName, "busscope-screen-20260102-030405.txt"));
        Assert.Equal(shown + "\n", first);
        Assert.True(File.Exists(Path.Combine(folder.FullName, "busscope-screen-20260102-030405-2.txt")));
        Assert.Contains("screen written into busscope-screen-20260102-030405-2.txt", screen.Text, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void A_drawn_screen_shot_has_every_word_of_the_screen_in_its_place(bool isMonochrome)
    {
        using var screen = new HeadlessScreen(Dunlin.Faulty, options: new ScreenOptions { PictureFolder = folder.FullName, IsMonochrome = isMonochrome });
        var shown = screen.Text;

        screen.Press((Key)'P');

        var drawing = XDocument.Load(Path.Combine(folder.FullName, "busscope-screen-20260102-030405.svg"));
        var rows = new StringBuilder[24];
        for (var row = 0; row < rows.Length; row++)
        {
            rows[row] = new StringBuilder(new string(' ', 80));
        }

        foreach (var text in drawing.Descendants(drawing.Root!.Name.Namespace + "text"))
        {
            var (x, y) = ((int)text.Attribute("x")! / 9, (int)text.Attribute("y")! / 19);
            Assert.Equal(text.Value.Length * 9, (int)text.Attribute("textLength")!);
            rows[y].Remove(x, text.Value.Length).Insert(x, text.Value);
        }

        Assert.Equal(shown, string.Join('\n', rows.Select(row => row.ToString().TrimEnd())).TrimEnd('\n'));
        Assert.Equal(!isMonochrome, drawing.ToString().Contains("#d55e00", StringComparison.Ordinal));
        Assert.Contains("screen written into busscope-screen-20260102-030405.svg", screen.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_screen_shot_that_cannot_be_written_says_why()
    {
        using var screen = new HeadlessScreen(Dunlin.Live, options: new ScreenOptions { PictureFolder = Path.Combine(folder.FullName, "nowhere") });

        screen.Press((Key)'p');

        Assert.Contains("no screen shot: ", screen.Text, StringComparison.Ordinal);
    }

    private static SessionSnapshot WithNoGo(params string[] titles)
    {
        var health = Dunlin.Live.Health;
        return Dunlin.Live with
        {
            Number = 8,
            Health = health with { Modules = [.. health.Modules.Select(module => titles.Contains(module.Definition.Title) ? module with { Verdict = Verdict.NoGo } : module)] },
        };
    }

    private static SessionSnapshot WithState(MessageState state)
    {
        var health = Dunlin.Live.Health;
        return Dunlin.Live with { Number = 9, Health = health with { Messages = [health.Messages[0] with { State = state }, .. health.Messages.Skip(1)] } };
    }
}
