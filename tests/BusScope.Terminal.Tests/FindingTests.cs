using BusScope.Frames;
using BusScope.Frames.Diagnostics;
using BusScope.Health;
using BusScope.Session;
using BusScope.Session.Replay;
using BusScope.Terminal.Drawing;
using BusScope.TestKit;
using CsCheck;
using Microsoft.Extensions.Time.Testing;
using Terminal.Gui.Input;
using Xunit;

namespace BusScope.Terminal.Tests;

/// <summary>What is found, and what is wrong with the recording, in whole sentences where the eye goes.</summary>
public sealed class FindingTests
{
    private static readonly ProblemKind Row = new("row-unreadable", "a row that cannot be read is passed over");

    private readonly ReplayPace pace = new(new FakeTimeProvider());

    public static TheoryData<int, int> Sizes => new() { { 80, 24 }, { 120, 40 } };

    [Theory]
    [MemberData(nameof(Sizes))]
    public void A_message_that_comes_in_time_with_wrong_content(int width, int height)
    {
        using var screen = Open(Dunlin.Wrong, width, height);

        Snapshot.Match(screen.Text, $"{width}x{height}");
    }

    [Fact]
    public void What_is_found_stands_above_the_signals_where_it_is_wrong_and_below_them_where_it_is_a_note()
    {
        var note = new Finding("not-judged", FindingSeverity.Note, "EngineTorque could not be judged") { Message = "EngineTorque" };
        using var wrong = Open(Dunlin.Wrong, 120, 40);
        using var noted = Open(Dunlin.Healthy with { Health = Dunlin.Healthy.Health with { Findings = [note] } }, 120, 40);

        wrong.Press(Key.CursorDown, Key.Tab);
        noted.Press(Key.CursorDown, Key.Tab, Key.CursorDown);

        Assert.InRange(RowOf(wrong, "wrong checksum in 4200"), 1, RowOf(wrong, "TorqueActual"));
        Assert.InRange(RowOf(noted, "could not be judged"), RowOf(noted, "TorqueRequest"), 40);
    }

    [Fact]
    public void Long_sentences_are_scrolled_with_the_signals()
    {
        using var screen = Open(Dunlin.Wrong);

        screen.Press(Key.Tab, Key.Tab, Key.End);

        Assert.Contains("TorqueRequest", screen.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_module_counts_what_is_fresh_and_without_a_fault()
    {
        using var screen = Open(Dunlin.Wrong);

        Assert.Contains("Transmission         2/3 well", screen.Text, StringComparison.Ordinal);
        Assert.Contains("Brake control        0/1 well", screen.Text, StringComparison.Ordinal);
        Assert.Contains("Body                 2/2 well", screen.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Beside_a_period_that_is_off_stands_what_is_meant()
    {
        using var screen = Open(Dunlin.Wrong);

        Assert.Contains("period/meant", screen.Text, StringComparison.Ordinal);
        Assert.Contains("EngineSpeed   4.0 ms  20 ms/10 ms", screen.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_filter_hides_messages_and_takes_none_away()
    {
        using var screen = Open(Dunlin.Wrong);

        screen.Press((Key)'/').Type("torque").Press(Key.Enter);

        Assert.Contains("Transmission lives on 3, 1 shown", screen.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_cut_capture_says_that_it_is_cut_instead_of_too_few_frames()
    {
        using var screen = Open(Cut());

        Assert.Contains("the capture is cut: the file ends in the middle of a record", screen.Text, StringComparison.Ordinal);
        Assert.DoesNotContain("too few frames", screen.Text, StringComparison.Ordinal);
    }

    [Theory]
    [MemberData(nameof(Sizes))]
    public void Problems_of_the_recording_stand_on_the_page_of_events(int width, int height)
    {
        using var screen = Open(Cut() with { Events = Dunlin.Faulty.Events }, width, height);
        Assert.Contains(width < 100 ? " 1 problem: e" : " 1 problem of the recording: e", screen.Text.Split('\n')[^2], StringComparison.Ordinal);

        screen.Press((Key)'e');

        Snapshot.Match(screen.Text, $"{width}x{height}");
    }

    [Fact]
    public void What_cut_the_capture_is_one_problem_and_not_two()
    {
        var log = new ProblemLog();
        log.Add(new ProblemKind("capture-cut-short", "the file ends in the middle of a record"), new ProblemPlace(ByteOffset: 4096));
        using var screen = Open(Cut() with { Problems = log.All });

        screen.Press((Key)'e');

        Assert.Contains(" · the capture is cut: the file ends in the middle of a record: byte 4096", screen.Text, StringComparison.Ordinal);
        Assert.Equal(1, screen.Text.Split('\n').Count(line => line.Contains(" · the ", StringComparison.Ordinal)));
    }

    [Fact]
    public void A_chosen_event_that_does_not_fit_its_line_stands_whole_below_the_others()
    {
        const string Long = "EngineIdentity had another length than 8 bytes in 3 of 3 frames, first at 0.118 s and ever since then";
        using var screen = Open(Dunlin.Faulty with { Events = [.. Dunlin.Faulty.Events, new SessionEvent(Dunlin.At(41), Long, FindingSeverity.Fault)] });

        screen.Press((Key)'e');
        Assert.Contains("0.118 s and ever since then", screen.Text.ReplaceLineEndings("").Replace("              ", " ", StringComparison.Ordinal), StringComparison.Ordinal);

        screen.Press(Key.CursorDown);
        Assert.DoesNotContain("ever since then", screen.Text, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(80, 24)]
    [InlineData(120, 40)]
    public void The_page_of_a_message_tells_what_is_found_against_it(int width, int height)
    {
        using var screen = Open(Dunlin.Wrong, width, height);

        screen.Press(Key.CursorDown, Key.Tab, Key.Enter);

        Snapshot.Match(screen.Text, $"{width}x{height}");
    }

    [Fact]
    public void To_a_message_that_never_came_it_goes_where_that_is_seen()
    {
        var missing = new Finding("message-missing", FindingSeverity.Fault, "EngineTorque never came: awaited for 60 s") { Bus = "chassis", Message = "EngineTorque", At = Dunlin.At(42.5) };
        using var screen = Open(Dunlin.Faulty with
        {
            Survey = new RecordingSurvey
            {
                IsOver = true,
                Stretches = [new RecordedStretch(Dunlin.At(0), Dunlin.At(60))],
                Findings = [missing],
                Events =
                [
                    new SessionEvent(Dunlin.At(43), "WheelSpeeds on chassis went stale", FindingSeverity.Fault) { DefinitionIndex = 2 },
                    new SessionEvent(Dunlin.At(43.75), "EngineTorque on chassis is missing: never seen", FindingSeverity.Fault) { DefinitionIndex = 1 },
                ],
            },
        });

        screen.Press((Key)'f');

        Assert.Equal([Dunlin.At(43.75)], screen.Jumps);
        Assert.Contains("▸✖ MISSING", screen.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void To_a_finding_the_replay_stands_still_with_its_message_chosen_and_says_what_is_found()
    {
        using var screen = Open(Dunlin.Wrong with
        {
            Survey = new RecordingSurvey { IsOver = true, Stretches = [new RecordedStretch(Dunlin.At(0), Dunlin.At(60))], Findings = [.. Dunlin.Wrong.Health.Findings.Select(finding => finding with { At = Dunlin.At(50) })] },
        });

        screen.Press(Key.End, (Key)'f');

        Assert.True(pace.IsPaused);
        Assert.Equal([Dunlin.At(50)], screen.Jumps);
        Assert.Contains("▸● fresh  ✖ EngineTorque", screen.Text, StringComparison.Ordinal);
        Assert.Contains("EngineTorque had a wrong checksum in 4200 of 4200 frames, first at 0 s (and 2\n more at this moment)", screen.Text, StringComparison.Ordinal);
        screen.Pass(11);
        Assert.DoesNotContain("more at this moment", screen.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_bus_without_a_bit_rate_shows_its_frames_a_second_and_a_number_is_called_a_bus()
    {
        var snapshots = Dunlin.Seconds(5).Select(each => each with
        {
            Health = each.Health with { Buses = [.. Enumerable.Range(0, 2).Select(number => each.Health.Buses[0] with { Name = $"{number}", LoadNow = null, LoadMean = null, LoadPeak = null })] },
            Buses = [new Bus("0"), new Bus("1")],
            Controllers = [],
        });
        using var screen = new HeadlessScreen(Dunlin.Live with { Buses = [], Controllers = [] });

        screen.Show(snapshots);
        Assert.Contains("● bus 0 2,700 frames/s err 0", screen.Text, StringComparison.Ordinal);

        screen.Press((Key)'b');
        Assert.Contains("no load without a bit rate   peak 2,700 frames/s", screen.Text, StringComparison.Ordinal);
        Assert.DoesNotContain("- %", screen.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Help_on_a_narrow_screen_has_the_caution_whole_and_every_key_in_one_column()
    {
        using var screen = Open(Dunlin.Faulty, 60, 60);

        screen.Press((Key)'?');

        Assert.Contains("hands and people clear.", screen.Text, StringComparison.Ordinal);
        Assert.Contains("licensed practice come first.", screen.Text.ReplaceLineEndings("").Replace("  ", " ", StringComparison.Ordinal), StringComparison.Ordinal);
        Assert.All(Screens.Keys.All, key => Assert.Contains(key.Meaning, screen.Text, StringComparison.Ordinal));
    }

    [Fact]
    public void Wrapped_lines_have_all_words_and_none_is_wider_than_it_may_be() => Gen.Select(Gen.String[Gen.Char["ab cd"], 0, 60], Gen.Int[1, 12]).Sample((text, width) =>
    {
        text = text.Trim();
        var lines = new List<string>();
        for (var rest = text.AsSpan(); !rest.IsEmpty;)
        {
            lines.Add(Wrap.Take(ref rest, width).ToString());
        }

        Assert.Equal(lines.Count, Wrap.Lines(text, width));
        Assert.All(lines, line => Assert.InRange(line.Length, 1, width));
        Assert.Equal(text.Replace(" ", "", StringComparison.Ordinal), string.Concat(lines).Replace(" ", "", StringComparison.Ordinal));
        var words = text.Split(' ', StringSplitOptions.RemoveEmptyEntries);
        if (words.All(word => word.Length <= width))
        {
            Assert.Equal(words, lines.SelectMany(line => line.Split(' ', StringSplitOptions.RemoveEmptyEntries)));
        }
    });

    private static int RowOf(HeadlessScreen screen, string text) => Array.FindIndex(screen.Text.Split('\n'), line => line.Contains(text, StringComparison.Ordinal));

    private static SessionSnapshot Cut()
    {
        var log = new ProblemLog();
        log.Add(Row, new ProblemPlace(Line: 12), "'0x1G0' is no identifier", 3);
        return Dunlin.Healthy with
        {
            Health = Dunlin.Healthy.Health with { Verdict = Verdict.Inconclusive, Interruption = "the file ends in the middle of a record" },
            HasEnded = true,
            Problems = log.All,
        };
    }

    private HeadlessScreen Open(SessionSnapshot snapshot, int width = 80, int height = 24) => new(snapshot, width, height, pace: pace);
}
