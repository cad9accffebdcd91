using BusScope.Frames;
using BusScope.Session.Readings;
using BusScope.Session.Replay;
using BusScope.Signals.Definitions;
using BusScope.Signals.Expressions;
using BusScope.Signals.Plans;
using BusScope.TestKit;
using Terminal.Gui.Input;
using Xunit;

namespace BusScope.Terminal.Tests;

/// <summary>The page of signals, the watch list, the trace, and units.</summary>
public sealed class SignalPageTests
{
    private readonly List<ScreenMemory> remembered = [];

    public static TheoryData<int, int> Sizes => new() { { 80, 24 }, { 120, 40 } };

    [Theory]
    [MemberData(nameof(Sizes))]
    public void Signals_with_the_watch_list_on_top(int width, int height)
    {
        using var screen = Open(width, height, new ScreenMemory { Watched = ["WheelSpeeds/WheelRearLeft", "EngineSpeed/Gear"], Traced = ["EngineSpeed/EngineSpeed"] });

        Answer(screen.Press((Key)'v', Key.CursorDown));

        Snapshot.Match(screen.Text, $"{width}x{height}");
    }

    [Theory]
    [MemberData(nameof(Sizes))]
    public void A_trace_of_four_signals_with_a_cursor(int width, int height)
    {
        using var screen = Open(width, height, new ScreenMemory { Traced = ["EngineSpeed/EngineSpeed", "EngineSpeed/CoolantTemp", "EngineSpeed/Gear", "WheelSpeeds/WheelFrontLeft"] });

        screen.Press((Key)'T');
        Answer(screen);
        for (var i = 0; i < 40; i++)
        {
            screen.Press(Key.CursorLeft);
        }

        Snapshot.Match(screen.Text, $"{width}x{height}");
    }

    [Fact]
    public void A_trace_in_plain_letters()
    {
        using var screen = Open(80, 24, new ScreenMemory { Traced = ["EngineSpeed/EngineSpeed", "EngineSpeed/Gear"] }, isAscii: true);

        Answer(screen.Press((Key)'T'));

        Snapshot.Match(screen.Text);
        Assert.All(screen.Text, c => Assert.InRange(c, '\n', '~'));
    }

    [Fact]
    public void A_watched_signal_goes_to_the_top_and_is_remembered()
    {
        using var screen = Open(80, 24, new ScreenMemory { Watched = ["Elsewhere/Signal"] });

        Answer(screen.Press((Key)'v', Key.CursorDown, Key.CursorDown, (Key)'w'));

        Assert.Equal("▸w Gear", screen.Text.Split('\n').First(line => line.Contains("Gear", StringComparison.Ordinal))[..7]);
        Assert.Equal(4, Array.FindIndex(screen.Text.Split('\n'), line => line.Contains("w Gear", StringComparison.Ordinal)));
        Assert.Equal(["EngineSpeed/Gear", "Elsewhere/Signal"], remembered[^1].Watched);

        screen.Press((Key)'w');
        Assert.Equal(["Elsewhere/Signal"], remembered[^1].Watched);
    }

    [Theory]
    [InlineData(80, 24)]
    [InlineData(120, 40)]
    public void More_time_than_was_recorded_is_the_whole_recording_and_no_more(int width, int height)
    {
        using var screen = Open(width, height, new ScreenMemory { Traced = ["EngineSpeed/EngineSpeed"] });
        screen.Snapshot = Dunlin.Surveyed with { Survey = new RecordingSurvey { IsOver = true, Progress = 1, Stretches = [new RecordedStretch(Dunlin.At(0), Dunlin.At(42))] } };

        screen.Press((Key)'T', (Key)'X', (Key)'X');
        Assert.Equal(FrameSpan.FromSeconds(42), Assert.Single(screen.Followed).Window);
        Assert.Contains(" last 42.0 s", screen.Text, StringComparison.Ordinal);

        screen.Press((Key)'X', (Key)'X');
        Assert.Contains("that is the whole recording", screen.Text, StringComparison.Ordinal);
        screen.Press((Key)'x');
        Assert.Equal(FrameSpan.FromSeconds(30), Assert.Single(screen.Followed).Window);
    }

    [Fact]
    public void Less_time_is_less_at_once_also_where_more_was_chosen_than_was_recorded()
    {
        using var screen = Open(80, 24, new ScreenMemory { Traced = ["EngineSpeed/EngineSpeed"] });
        screen.Press((Key)'T', (Key)'X', (Key)'X', (Key)'X', (Key)'X', (Key)'X');
        screen.Snapshot = Dunlin.Surveyed with { Survey = new RecordingSurvey { IsOver = true, Progress = 1, Stretches = [new RecordedStretch(Dunlin.At(0), Dunlin.At(42))] } };
        screen.Draw();
        Assert.Equal(FrameSpan.FromSeconds(42), Assert.Single(screen.Followed).Window);

        screen.Press((Key)'x');

        Assert.Equal(FrameSpan.FromSeconds(30), Assert.Single(screen.Followed).Window);
    }

    [Fact]
    public void The_trace_has_room_for_four_and_says_so()
    {
        using var screen = Open(80, 24, new ScreenMemory());

        screen.Press((Key)'v');
        for (var i = 0; i < 5; i++)
        {
            screen.Press((Key)'t', Key.CursorDown);
        }

        Assert.Contains("room for 4 signals", screen.Text, StringComparison.Ordinal);
        Assert.Equal(4, remembered[^1].Traced.Count);
    }

    [Fact]
    public void Units_of_the_United_States_turn_values_and_scales()
    {
        using var screen = Open(120, 40, new ScreenMemory());
        screen.Press((Key)'v');
        Answer(screen, value: 100);
        Assert.Contains("100 °C", screen.Text, StringComparison.Ordinal);
        Assert.Contains("100.0000 km/h", screen.Text, StringComparison.Ordinal);

        screen.Press((Key)'i');

        // 100 °C are 212 °F; 100 km/h are 62.1371 miles an hour; a torque of 100 Nm is one of 73.8 pound-force feet.
        Assert.Contains("212 °F", screen.Text, StringComparison.Ordinal);
        Assert.Contains("62.1371 mph", screen.Text, StringComparison.Ordinal);
        Assert.Contains("73.8 lbf·ft", screen.Text, StringComparison.Ordinal);
        Assert.True(remembered[^1].IsUs);
    }

    [Fact]
    public void Only_the_signals_that_are_seen_are_asked_for()
    {
        using var screen = Open(80, 24, new ScreenMemory());
        Assert.Empty(screen.Followed);

        screen.Press((Key)'v');
        Assert.Equal(9, screen.Followed.Count);
        Assert.All(screen.Followed, request => Assert.InRange(request.Columns, 5, 40));

        screen.Press((Key)'/').Type("wheelspeeds").Press(Key.Enter);
        Assert.Equal(4, screen.Followed.Count);

        screen.Press((Key)'v');
        Assert.Empty(screen.Followed);
    }

    [Fact]
    public void From_a_signal_to_its_message()
    {
        using var screen = Open(80, 24, new ScreenMemory());

        screen.Press((Key)'v', Key.End, Key.Enter);

        Assert.Contains("▸◆ STALE    WheelSpeeds", screen.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_signal_whose_message_is_stale_says_so_on_every_page()
    {
        using var screen = Open(80, 24, new ScreenMemory { Traced = ["WheelSpeeds/WheelFrontLeft"] });

        Answer(screen.Press((Key)'T'));
        Assert.Contains("◆ stale", screen.Text.Split('\n').First(line => line.Contains("WheelFrontLeft", StringComparison.Ordinal)), StringComparison.Ordinal);

        Answer(screen.Press((Key)'v'));
        Assert.Contains("◆", screen.Text.Split('\n').First(line => line.Contains("WheelFrontLeft", StringComparison.Ordinal)), StringComparison.Ordinal);
    }

    [Fact]
    public void A_computed_signal_is_stale_with_any_message_that_it_is_computed_from()
    {
        var plan = new DefinitionPlan(Dunlin.Definitions with
        {
            Computed =
            [
                new ComputedDefinition("Sum", Expression.Parse("Half + EngineSpeed/EngineSpeed", out _)!, "rpm", default),
                new ComputedDefinition("Half", Expression.Parse("WheelFrontLeft / 2", out _)!, "km/h", default),
                new ComputedDefinition("Round", Expression.Parse("Round + 1", out _)!, null, default),
                new ComputedDefinition("Fine", Expression.Parse("CoolantTemp * 2", out _)!, null, default),
            ],
        });
        var lines = new Screens.SignalLines();
        lines.Update(Dunlin.Faulty with { Plan = plan }, new Screens.Choice());

        Assert.Equal([true, true, false, false], lines.Shown.Where(line => line.Key.IsComputed).Select(lines.IsStale));
    }

    [Fact]
    public void A_screen_as_tall_as_a_wall_has_a_trace_too()
    {
        using var screen = Open(200, 900, new ScreenMemory { Traced = ["EngineSpeed/EngineSpeed"] });

        Answer(screen.Press((Key)'T'));

        Assert.Contains("EngineSpeed", screen.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_failure_to_remember_is_told()
    {
        using var screen = new HeadlessScreen(Dunlin.Faulty, options: new ScreenOptions { Remember = _ => "the disk is full" });

        screen.Press((Key)'i');

        Assert.Contains("the disk is full: not kept for the next time", screen.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void What_is_wrong_with_the_settings_is_said_when_the_screen_opens()
    {
        using var screen = new HeadlessScreen(Dunlin.Faulty, options: new ScreenOptions { Notice = "settings: refresh: expected 2, 5, 10, 20 (settings.yaml:1)" });

        Assert.Contains("refresh: expected 2, 5, 10, 20", screen.Text, StringComparison.Ordinal);
        screen.Pass(11);
        Assert.DoesNotContain("refresh: expected", screen.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void More_signals_for_the_trace_than_have_room_are_told_and_remembered()
    {
        ScreenMemory? kept = null;
        string[] names = ["EngineSpeed/EngineSpeed", "EngineSpeed/CoolantTemp", "EngineSpeed/Gear", "WheelSpeeds/WheelFrontLeft", "WheelSpeeds/WheelFrontRight", "WheelSpeeds/WheelRearLeft"];
        using var screen = new HeadlessScreen(Dunlin.Faulty, options: new ScreenOptions
        {
            Memory = new ScreenMemory { Traced = names },
            Remember = memory =>
            {
                kept = memory;
                return null;
            },
        });

        Assert.Contains("6 signals are named for the trace, which has room for 4", screen.Text, StringComparison.Ordinal);
        screen.Press((Key)'i');
        Assert.Equal(names, kept!.Traced);
    }

    [Theory]
    [InlineData("0x130")]
    [InlineData("steering")]
    public void A_filter_finds_signals_by_the_identifier_of_their_message_and_by_who_needs_it(string words)
    {
        using var screen = new HeadlessScreen(Dunlin.Healthy);

        screen.Press((Key)'v', (Key)'/').Type(words).Press(Key.Enter);

        Assert.Contains("WheelFrontLeft", screen.Text, StringComparison.Ordinal);
        Assert.DoesNotContain("CoolantTemp", screen.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_value_that_no_longer_comes_leaves_a_gap_in_the_trace()
    {
        using var screen = Open(80, 24, new ScreenMemory { Traced = ["EngineSpeed/EngineSpeed"] }, isAscii: true);
        screen.Press((Key)'T');
        var request = Assert.Single(screen.Followed);
        var trace = new TraceBin[request.Columns];
        Array.Fill(trace, TraceBin.None);
        trace[5] = new TraceBin(10, 20);

        screen.Snapshot = Dunlin.Faulty with { Number = 50, Readings = [new SignalReading(request, new Sample(1, 20, SampleQuality.Ok), Dunlin.At(42), 10, 20, trace, TraceBin.None)] };
        screen.Draw();

        // Stale after 100 ms; a window of 10 s leaves the value standing for one column only.
        Assert.InRange(screen.Text.Count(c => c == '*'), 3, 20);
    }

    [Fact]
    public void The_axis_tells_no_time_before_the_first_frame()
    {
        using var screen = Open(80, 24, new ScreenMemory { Traced = ["EngineSpeed/EngineSpeed"] });

        screen.Press((Key)'T', (Key)'X', (Key)'X');
        Answer(screen);

        // A minute up to 0:42.5: two of its four quarters begin before the recording.
        var axis = Array.Find(screen.Text.Split('\n'), line => line.StartsWith(" last 60.0 s", StringComparison.Ordinal));
        Assert.Equal(2, axis!.Count(c => c == '┬'));
        Assert.DoesNotContain("-0:", axis, StringComparison.Ordinal);
    }

    [Fact]
    public void Further_back_than_single_values_are_kept_a_value_stands_for_its_second()
    {
        using var screen = Open(80, 24, new ScreenMemory { Traced = ["EngineSpeed/EngineSpeed"] }, isAscii: true);
        screen.Press((Key)'T', (Key)'X');
        var request = Assert.Single(screen.Followed);
        var trace = new TraceBin[request.Columns];
        Array.Fill(trace, TraceBin.None);
        for (var second = 0; second < request.Window.Seconds; second++)
        {
            trace[(int)(second / request.Window.Seconds * request.Columns)] = new TraceBin(10, 10);
        }

        screen.Snapshot = Dunlin.Faulty with { Number = 50, Readings = [new SignalReading(request, new Sample(1, 10, SampleQuality.Ok), Dunlin.At(42), 10, 10, trace, TraceBin.None)] };
        screen.Draw();

        Assert.Equal(30, request.Window.Seconds);
        Assert.Equal(request.Columns, screen.Text.Split('\n').Max(line => line.Count(c => c == '*')));
    }

    private HeadlessScreen Open(int width, int height, ScreenMemory memory, bool isAscii = false) => new(Dunlin.Faulty, width, height, new ScreenOptions
    {
        Memory = memory,
        IsAscii = isAscii,
        Remember = kept =>
        {
            remembered.Add(kept);
            return null;
        },
    });

    // Each signal swings once in the window, the later ones faster; torque never came.
    private static void Answer(HeadlessScreen screen, double? value = null)
    {
        screen.Snapshot = screen.Snapshot with
        {
            Number = screen.Snapshot.Number + 1,
            Readings = [.. screen.Followed.Where(request => request.Key.Message != 1 || value is not null).Select(request =>
            {
                var trace = Enumerable.Range(0, request.Columns).Select(i => (float)(50 + (40 * Math.Sin(i * (request.Key.Signal + 1) * 6.3 / request.Columns)))).Select(each => new TraceBin(each, each + 2)).ToArray();
                return new SignalReading(request, new Sample(3, value ?? trace[^1].Largest, SampleQuality.Ok), Dunlin.At(42), 10, 92, trace, trace[0]) { End = Dunlin.At(42.5), Ahead = request.Step / 3 };
            })],
        };
        screen.Draw();
    }
}
