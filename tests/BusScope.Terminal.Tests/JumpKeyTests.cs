using BusScope.Frames;
using BusScope.Session;
using BusScope.Session.Replay;
using BusScope.Terminal.Screens;
using BusScope.TestKit;
using Microsoft.Extensions.Time.Testing;
using Terminal.Gui.Input;
using Xunit;

namespace BusScope.Terminal.Tests;

/// <summary>The time line of a recording that was read ahead, and the keys that go to its moments.</summary>
public sealed class JumpKeyTests
{
    private readonly ReplayPace pace = new(new FakeTimeProvider());

    [Theory]
    [InlineData(80, 24)]
    [InlineData(120, 40)]
    public void The_time_line_shows_findings_and_marks_of_the_whole_recording_and_the_loop(int width, int height)
    {
        using var screen = Open(Dunlin.Surveyed with { Loop = new ReplayLoop(Dunlin.At(30), Dunlin.At(50)) }, width, height);

        Snapshot.Match(screen.Text, $"{width}x{height}");
    }

    [Fact]
    public void The_time_line_stands_for_time_and_not_for_the_way_through_the_file()
    {
        using var screen = Open(Dunlin.Surveyed with { Progress = 0.99 });

        Assert.Contains(" 70 %", screen.Text.Split('\n')[^2], StringComparison.Ordinal);
    }

    [Fact]
    public void What_is_waited_for_stands_in_the_line_of_the_time()
    {
        using var screen = Open(Dunlin.Surveyed with { GoingTo = Dunlin.At(58), Survey = new RecordingSurvey { Progress = 0.62 } });

        Assert.StartsWith(" reads on to ×1 0:58.0 read 62 %", screen.Text.Split('\n')[^2], StringComparison.Ordinal);
    }

    [Fact]
    public void Why_a_jump_failed_stands_in_the_line_of_the_time()
    {
        using var screen = Open(Dunlin.Surveyed with { JumpFailure = "drive.pcapng: does not exist" });

        Assert.Contains("drive.pcapng: does not exist", screen.Text, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData('f', 55)]
    [InlineData('F', 38.9)]
    [InlineData('k', 50)]
    [InlineData('K', 30)]
    [InlineData('<', 0)]
    [InlineData('>', 60)]
    [InlineData('R', 41)]
    public void A_key_goes_to_a_moment(char key, double seconds)
    {
        using var screen = Open(Dunlin.Surveyed);

        screen.Press((Key)key);

        Assert.Equal([Dunlin.At(seconds)], screen.Jumps);
    }

    [Fact]
    public void A_key_that_goes_on_goes_on_from_where_one_is_going()
    {
        using var screen = Open(Dunlin.Surveyed with { GoingTo = Dunlin.At(10) });

        screen.Press((Key)'f');

        Assert.Equal([Dunlin.At(20.5)], screen.Jumps);
    }

    [Fact]
    public void A_frame_back_is_one_frame_back()
    {
        using var screen = Open(Dunlin.Surveyed);

        screen.Press((Key)'r', (Key)'r');

        Assert.Equal(2, screen.StepsBack);
    }

    [Fact]
    public void Where_there_is_no_further_one_it_says_so()
    {
        using var screen = Open(Dunlin.Surveyed with { GoingTo = Dunlin.At(56) });

        screen.Press((Key)'f');

        Assert.Empty(screen.Jumps);
        Assert.Contains("no finding after this moment", screen.Text, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("f", "findings are known at its end")]
    [InlineData(">", "its end is not known yet")]
    public void While_it_is_being_read_it_says_so(string key, string said)
    {
        using var screen = Open(Dunlin.Faulty with { Survey = new RecordingSurvey { Stretches = [new(Dunlin.At(0), Dunlin.At(50))] } });

        screen.Type(key);

        Assert.Empty(screen.Jumps);
        Assert.Contains(said, screen.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_loop_goes_round_between_the_marks_around_the_moment_until_the_key_is_pressed_again()
    {
        using var screen = Open(Dunlin.Surveyed);

        screen.Press((Key)'l');
        screen.Snapshot = Dunlin.Surveyed with { Loop = new ReplayLoop(Dunlin.At(30), Dunlin.At(50)) };
        screen.Draw().Press((Key)'l');

        Assert.Equal([new ReplayLoop(Dunlin.At(30), Dunlin.At(50)), null], screen.Loops);
        Assert.Equal([Dunlin.At(30)], screen.Jumps);
    }

    [Fact]
    public void A_loop_without_two_marks_says_what_it_needs()
    {
        using var screen = Open(Dunlin.Surveyed with { Marks = [] });

        screen.Press((Key)'l');

        Assert.Empty(screen.Loops);
        Assert.Contains("set two with n", screen.Text, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("1:23.5", 83.5)]
    [InlineData("+10", 52)]
    [InlineData("-10s", 32)]
    [InlineData("0", 0)]
    public void A_time_can_be_typed(string typed, double seconds)
    {
        using var screen = Open(Dunlin.Surveyed);

        screen.Press((Key)'g').Type(typed).Press(Key.Enter);

        Assert.Equal([Dunlin.At(seconds)], screen.Jumps);
    }

    [Fact]
    public void What_is_no_time_is_answered_and_stays_to_be_mended()
    {
        using var screen = Open(Dunlin.Surveyed);

        screen.Press((Key)'g').Type("1:7x").Press(Key.Enter);
        Assert.Empty(screen.Jumps);
        Assert.Contains(MomentText.Forms, screen.Text, StringComparison.Ordinal);

        screen.Press(Key.Backspace).Press(Key.Enter);
        Assert.Equal([Dunlin.At(67)], screen.Jumps);
    }

    [Theory]
    [InlineData("nan")]
    [InlineData("-nan")]
    [InlineData("Infinity")]
    public void What_only_looks_like_a_figure_is_no_time(string typed)
    {
        using var screen = Open(Dunlin.Surveyed);

        screen.Press((Key)'g').Type(typed).Press(Key.Enter);

        Assert.Empty(screen.Jumps);
        Assert.Contains($"not a time: '{typed}'; {MomentText.Forms}", screen.Text, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("99:00", "the recording ends at 1:00.0")]
    [InlineData("-50", "the recording begins at 0:00.0")]
    public void A_time_beyond_the_recording_is_said_to_be_that(string typed, string said)
    {
        using var screen = Open(Dunlin.Surveyed);

        screen.Press((Key)'g').Type(typed).Press(Key.Enter);

        Assert.Contains(said, screen.Text, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("83.5", 83.5)]
    [InlineData("83.5 s", 83.5)]
    [InlineData("1:02:03", 3723.0)]
    [InlineData("90:00", 5400.0)]
    [InlineData("+1:00", 102.0)]
    [InlineData("", null)]
    [InlineData("1:60", null)]
    [InlineData("1:2:3:4", null)]
    [InlineData("1.5:20", null)]
    [InlineData("--5", null)]
    [InlineData("1e3", null)]
    [InlineData("99999999999999", null)]
    public void A_time_is_read_as_a_clock_shows_it(string typed, double? seconds) =>
        Assert.Equal(seconds is { } known ? Dunlin.At(known) : (FrameTime?)null, MomentText.Read(typed, Dunlin.At(0), Dunlin.At(42)));

    [Fact]
    public void From_an_event_one_goes_to_its_moment()
    {
        using var screen = Open(Dunlin.Surveyed);

        screen.Press((Key)'e').Press(Key.CursorDown, (Key)'j');

        Assert.Equal([Dunlin.At(20.5)], screen.Jumps);
    }

    [Fact]
    public void A_recording_that_comes_only_once_says_that_there_is_no_way_back()
    {
        using var screen = Open(Dunlin.Faulty);

        screen.Press((Key)'R');

        Assert.Empty(screen.Jumps);
        Assert.Contains("comes only once", screen.Text, StringComparison.Ordinal);
    }

    private HeadlessScreen Open(SessionSnapshot snapshot, int width = 80, int height = 24) => new(snapshot, width, height, pace: pace);
}
