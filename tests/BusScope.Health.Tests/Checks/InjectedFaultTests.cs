using BusScope.Frames;
using BusScope.TestKit;
using Xunit;

namespace BusScope.Health.Tests.Checks;

/// <summary>One fault at a time is put into healthy traffic: it is found, named rightly, and nothing else is reported.</summary>
public class InjectedFaultTests
{
    private const uint Engine = 0x0C8;
    private const uint Gear = 0x1A0;
    private const uint Fan = 0x210;
    private const uint Key = 0x100;
    private const uint ClusterStatus = 0x320;
    private const uint Radio = 0x400;

    [Fact]
    public void Healthy_traffic_is_go_without_a_finding_but_for_the_module_that_needs_nothing()
    {
        var report = Car.Healthy().Check();

        Only(report, Verdict.Go, ("module-needs-nothing", FindingSeverity.Note, null));
        Assert.All(report.Modules, module => Assert.Equal(Verdict.Go, module.Verdict));
        Assert.All(report.Messages, message => Assert.Equal(MessageState.Fresh, message.State));
    }

    [Fact]
    public void A_message_that_never_comes_is_missing()
    {
        var report = Car.Healthy().Without(Gear).Check();

        Only(report, Verdict.NoGo, ("message-missing", FindingSeverity.Fault, "Gear"));
        Assert.Equal(["cluster"], report.Findings[0].Modules);
        Assert.Equal([Verdict.Go, Verdict.NoGo, Verdict.Go], report.Modules.Select(module => module.Verdict));
        Assert.Equal(1, report.Modules[1].States[(int)MessageState.Missing]);
        Assert.Equal("Gear", report.Messages[report.Modules[1].Worst!.Value].Definition!.Name);
    }

    [Fact]
    public void A_message_that_nobody_needs_is_a_warning() =>
        Only(Car.Healthy().Without(Radio).Check(), Verdict.Go, ("message-missing", FindingSeverity.Warning, "Radio"));

    [Fact]
    public void Where_no_message_says_who_needs_it_every_message_is_needed()
    {
        var definitions = string.Join('\n', Car.Definitions.Split('\n').Where(line => !line.Contains("needed-by", StringComparison.Ordinal)));

        Assert.Equal(Verdict.NoGo, Car.Healthy().Without(Radio).Check(definitions).Verdict);
        Assert.Equal(Verdict.Go, Car.Healthy().Check(definitions).Verdict);
    }

    [Fact]
    public void A_message_that_stops_is_found_with_its_moment()
    {
        var report = Car.Healthy().Without(Gear, from: 4).Check();

        Only(report, Verdict.NoGo, ("message-stopped", FindingSeverity.Fault, "Gear"));
        Assert.Equal(3.98, report.Findings[0].At!.Value.Seconds, 9);
    }

    [Fact]
    public void A_message_that_was_gone_for_a_while_is_stale()
    {
        var report = Car.Healthy().Without(Gear, from: 4, until: 5).Check();

        Only(report, Verdict.NoGo, ("message-stale", FindingSeverity.Fault, "Gear"));
        var row = report.Messages.Single(message => message.Definition?.Name == "Gear");
        Assert.Equal(1, row.StaleGaps);
        Assert.Equal(FrameSpan.FromMilliseconds(1020), row.LongestLateGap);
        Assert.Equal(3.98, row.LongestLateGapFrom!.Value.Seconds, 9);
    }

    [Fact]
    public void A_message_that_is_often_late_is_a_warning() =>
        Only(Car.Healthy().Without((frame, at) => frame.Id.Value == Gear && (int)Math.Round(at * 50) % 10 == 9).Check(), Verdict.Go, ("message-late", FindingSeverity.Warning, "Gear"));

    [Fact]
    public void One_late_frame_is_no_finding() =>
        Only(Car.Healthy().Without(Gear, from: 4.01, until: 4.03).Check(), Verdict.Go);

    [Fact]
    public void A_message_that_is_late_at_the_very_end_is_named_with_its_gap_and_its_limit()
    {
        var report = Car.Healthy().Without(Gear, from: 9.94).Check();

        Only(report, Verdict.Go, ("message-late", FindingSeverity.Note, "Gear"));
        Assert.Equal(1, report.Modules[1].States[(int)MessageState.Late]);
        Assert.Equal("Gear is late at the end: nothing for 70.3 ms, late after 30 ms; its longest gap before was 20 ms", report.Findings.Single(finding => finding.Code == "message-late").Text);
    }

    [Fact]
    public void A_message_at_half_its_rate_is_too_slow() =>
        Only(Car.Healthy().Without((frame, at) => frame.Id.Value == Gear && (int)Math.Round(at * 50) % 2 == 1).Check(), Verdict.NoGo, ("message-too-slow", FindingSeverity.Fault, "Gear"));

    [Fact]
    public void A_message_at_twice_its_rate_from_one_sender_is_too_fast() =>
        Only(Car.Healthy().Without(Gear).Every(10, Gear, 0, _ => "0300").Check(), Verdict.Go, ("message-too-fast", FindingSeverity.Warning, "Gear"));

    [Fact]
    public void Frames_of_another_length_are_found() =>
        Only(Car.Healthy().Change(Gear, (frame, _, _) => Some.Frame(Gear, "030000", frame.Time.Seconds * 1000)).Check(), Verdict.NoGo, ("wrong-length", FindingSeverity.Fault, "Gear"));

    [Theory]
    [InlineData("030000", "030000", "Gear had 3 instead of 2 bytes in 500 of 500 frames, first at 0 s")]
    [InlineData("", "03000000", "Gear had 0 to 4 instead of 2 bytes in 500 of 500 frames, first at 0 s")]
    public void A_wrong_length_says_which_came(string even, string odd, string text) =>
        Assert.Contains(Car.Healthy().Change(Gear, (frame, number, _) => Some.Frame(Gear, number % 2 == 0 ? even : odd, frame.Time.Seconds * 1000)).Check().Findings, finding => finding.Text == text);

    [Fact]
    public void A_message_on_the_wrong_bus_names_its_first_and_last_frame()
    {
        var frames = Car.Healthy().Change(Gear, (frame, _, _) => Some.Frame(Gear, "0300", frame.Time.Seconds * 1000, 1)).Frames.OrderBy(frame => frame.Time).ToList();
        var monitor = new HealthMonitor(Car.Monitor().Plan, new MonitorOptions { KeepNumbers = true });
        monitor.Accept(frames.ToArray(), Car.Buses);

        var finding = Assert.Single(monitor.Report(isFinal: true).Findings, finding => finding.Code == "wrong-bus");

        Assert.Equal((1 + frames.FindIndex(frame => frame.Id.Value == Gear), 1 + frames.FindLastIndex(frame => frame.Id.Value == Gear)), (finding.Frame, finding.UntilFrame));
        Assert.Equal((0, 9.98), (finding.At!.Value.Seconds, finding.Until!.Value.Seconds));
    }

    [Fact]
    public void A_single_frame_of_another_length_is_a_warning() =>
        Only(Car.Healthy().Change(Engine, (frame, number, _) => number == 77 ? Some.Frame(Engine, "03", frame.Time.Seconds * 1000) : frame).Check(), Verdict.Go, ("wrong-length", FindingSeverity.Warning, "Engine"));

    [Fact]
    public void A_counter_that_stands_still_is_found() =>
        Only(Car.Healthy().Change(Engine, (frame, number, at) => Car.EngineFrame(at * 1000, 4000 + (number % 500), 3)).Check(), Verdict.NoGo, ("counter-repeated", FindingSeverity.Fault, "Engine"));

    [Fact]
    public void A_few_counters_that_jump_are_a_warning() =>
        Only(Car.Healthy().Without((frame, at) => frame.Id.Value == Engine && Math.Abs(at - Math.Round(at)) < 0.001).Check(), Verdict.Go, ("counter-skipped", FindingSeverity.Warning, "Engine"));

    [Fact]
    public void Counters_that_jump_all_the_time_are_a_fault() =>
        Only(Car.Healthy().Change(Engine, (frame, number, at) => Car.EngineFrame(at * 1000, 4000 + (number % 500), number * 3)).Check(), Verdict.NoGo, ("counter-skipped", FindingSeverity.Fault, "Engine"));

    [Theory]
    [InlineData(1, Verdict.Go, FindingSeverity.Warning)]
    [InlineData(3, Verdict.NoGo, FindingSeverity.Fault)]
    public void Wrong_checksums_are_found(int howMany, Verdict verdict, FindingSeverity severity) =>
        Only(
            Car.Healthy().Change(Engine, (frame, number, at) => number >= 500 && number < 500 + howMany ? Spoilt(frame) : frame).Check(),
            verdict,
            ("checksum-wrong", severity, "Engine"));

    [Theory]
    [InlineData(40_000, "value-out-of-range")]
    [InlineData(0xFFFE, "value-error")]
    [InlineData(0xFFFF, "value-not-available")]
    public void Values_that_say_no_are_found(int raw, string code)
    {
        var report = Car.Healthy().Change(Engine, (frame, number, at) => number >= 100 && number < 900 ? Car.EngineFrame(at * 1000, raw, number) : frame).Check();

        Only(report, Verdict.NoGo, (code, FindingSeverity.Fault, "Engine"));
        Assert.Equal("Speed", report.Findings[0].Signal);
        Assert.Equal(800, report.Findings[0].Count);
    }

    [Fact]
    public void Values_that_jump_are_implausible() =>
        Only(Car.Healthy().Change(Engine, (frame, number, at) => number % 100 == 50 ? Car.EngineFrame(at * 1000, 12_000, number) : frame).Check(), Verdict.NoGo, ("value-implausible", FindingSeverity.Fault, "Engine"));

    [Fact]
    public void A_signal_that_should_move_and_does_not_is_stuck()
    {
        var report = Car.Healthy().Change(Engine, (frame, number, at) => Car.EngineFrame(at * 1000, 4000, number)).Check();

        Only(report, Verdict.NoGo, ("signal-stuck", FindingSeverity.Fault, "Engine"));
        Assert.Equal("Speed", report.Findings[0].Signal);
    }

    [Fact]
    public void A_bus_that_falls_silent_is_one_finding()
    {
        var report = Car.Healthy().Without((frame, at) => frame.Bus == 0 && at > 4).Check();

        Only(report, Verdict.NoGo, ("bus-silent", FindingSeverity.Fault, null));
        Assert.True(report.Buses[0].IsSilent);
        Assert.Equal(["cluster", "transmission"], report.Findings[0].Modules);
        Assert.Equal([Verdict.Go, Verdict.NoGo, Verdict.NoGo], report.Modules.Select(module => module.Verdict));
        Assert.All(report.Messages.Where(message => message.Bus == "chassis"), message => Assert.True(message.BusIsSilent));
    }

    [Fact]
    public void A_bus_that_was_silent_for_a_while_is_one_finding()
    {
        var report = Car.Healthy().Without((frame, at) => frame.Bus == 0 && at is > 4 and < 6).Check();

        Only(report, Verdict.NoGo, ("bus-silent", FindingSeverity.Fault, null));
        Assert.Equal(1, report.Buses[0].Silences);
        Assert.Equal(0, report.Messages[0].StaleGaps);
    }

    [Fact]
    public void A_bus_that_never_spoke_is_one_finding() =>
        Only(Car.Healthy().Without((frame, _) => frame.Bus == 0).Check(), Verdict.NoGo, ("bus-silent", FindingSeverity.Fault, null));

    [Fact]
    public void A_bus_that_the_source_does_not_have_is_one_finding() =>
        Only(
            Car.Healthy().Without((frame, _) => frame.Bus == 1).Without(Fan).Check(buses: [new Bus("chassis")]),
            Verdict.Inconclusive,
            ("bus-silent", FindingSeverity.Warning, null), ("not-judged", FindingSeverity.Note, "Fan"));

    [Fact]
    public void A_message_that_came_before_the_bus_fell_silent_is_told_apart_from_it()
    {
        var report = Car.Healthy().Without((frame, at) => frame.Bus == 0 && at > 6).Without(Gear, from: 4).Check();

        Only(report, Verdict.NoGo, ("bus-silent", FindingSeverity.Fault, null), ("message-stopped", FindingSeverity.Fault, "Gear"));
    }

    [Fact]
    public void A_message_on_the_wrong_bus_is_found() =>
        Only(Car.Healthy().Without(Gear).Every(20, Gear, 1, _ => "0300").Check(), Verdict.NoGo, ("wrong-bus", FindingSeverity.Fault, "Gear"), ("unknown-identifier", FindingSeverity.Note, null));

    [Fact]
    public void Buses_that_bear_other_names_in_the_source_are_not_called_swapped()
    {
        var report = Car.Healthy().Check(buses: [new Bus("0"), new Bus("1")]);

        var texts = report.Findings.Where(finding => finding.Code == "wrong-bus").Select(finding => finding.Text).ToList();
        Assert.Contains(texts, text => text.StartsWith("the file's chassis looks like the capture's 0: rename it under buses, or, where each bus has a capture of its own, write chassis=CAPTURE. ", StringComparison.Ordinal));
        Assert.Contains(texts, text => text.StartsWith("the file's cabin looks like the capture's 1: ", StringComparison.Ordinal));
        Assert.Equal(2, texts.Count);

        // That they never spoke by the names of the file is not told beside it, and every module that lives on them is named.
        Assert.DoesNotContain(report.Findings, finding => finding.Code == "bus-silent");
        Assert.Equal(["cluster", "transmission"], report.Findings.Where(finding => finding.Code == "wrong-bus").SelectMany(finding => finding.Modules).Distinct());
        Assert.Equal([Verdict.Inconclusive, Verdict.Inconclusive], report.Modules.Skip(1).Select(module => module.Verdict));
        Assert.Equal(Verdict.Inconclusive, report.Verdict);

        // A name is the only cause: nothing else is said of what came under it.
        Assert.All(report.Findings, finding => Assert.Contains(finding.Code, (string[])["wrong-bus", "module-needs-nothing"]));
    }

    [Fact]
    public void A_bus_of_another_name_looks_like_the_one_that_has_most_of_its_messages()
    {
        var report = Car.Healthy().Every(20, Gear, 1, _ => "0300", offset: -5).Check(buses: [new Bus("0"), new Bus("1")]);

        var texts = report.Findings.Where(finding => finding.Code == "wrong-bus").Select(finding => finding.Text).ToList();
        Assert.Equal(2, texts.Count);
        Assert.EndsWith("Messages that came there: 2 of 2, Gear among them", Assert.Single(texts, text => text.StartsWith("the file's chassis looks like the capture's 0: ", StringComparison.Ordinal)), StringComparison.Ordinal);
        Assert.EndsWith("Messages that came there: 3 of 3, Key among them", Assert.Single(texts, text => text.StartsWith("the file's cabin looks like the capture's 1: ", StringComparison.Ordinal)), StringComparison.Ordinal);
    }

    [Fact]
    public void One_identifier_that_an_absent_bus_has_in_common_with_another_does_not_hide_that_it_is_absent()
    {
        // Nobody needs the radio of the cabin; its identifier comes on the chassis, and the cabin is not there at all.
        var definitions = Car.Definitions.Replace("    id: 0x320\n    bus: cabin\n", "    id: 0x320\n    bus: cabin\n    needed-by: [transmission]\n", StringComparison.Ordinal);
        var report = Car.Healthy().Without((frame, _) => frame.Bus == 1).Every(100, 0x400, 0, _ => "00000000", 10).Check(definitions, buses: [new Bus("chassis")]);

        Assert.Equal(Verdict.NoGo, report.Verdict);
        Assert.Equal(Verdict.NoGo, report.Modules.Single(module => module.Definition.Name == "transmission").Verdict);
        Assert.Contains(report.Findings, finding => finding is { Code: "bus-silent", Severity: FindingSeverity.Fault, Bus: "cabin" });
    }

    [Fact]
    public void What_is_wrong_throughout_names_its_first_and_last_frame()
    {
        var monitor = new HealthMonitor(Car.Monitor().Plan, new MonitorOptions { KeepNumbers = true });
        var frames = Car.Healthy().Without((frame, at) => frame.Id.Value == Gear && (int)Math.Round(at * 50) % 2 == 1).Frames.OrderBy(frame => frame.Time).ToList();
        foreach (var batch in Some.Batches(frames))
        {
            monitor.Accept(batch, Car.Buses);
        }

        var finding = Assert.Single(monitor.Report(isFinal: true).Findings, finding => finding.Code == "message-too-slow");
        Assert.Equal((1 + frames.FindIndex(frame => frame.Id.Value == Gear), 1 + frames.FindLastIndex(frame => frame.Id.Value == Gear)), (finding.Frame, finding.UntilFrame));
        Assert.Equal(frames.FindLast(frame => frame.Id.Value == Gear).Time, finding.Until);
    }

    [Fact]
    public void A_module_that_is_gone_is_told_apart_from_a_starved_one()
    {
        var report = Car.Healthy().Without(ClusterStatus, from: 5).Check();

        Only(report, Verdict.NoGo, ("module-silent", FindingSeverity.Fault, "ClusterStatus"));
        Assert.Equal(MessageState.Stale, report.Modules[1].Alive);
        Assert.Equal(Verdict.NoGo, report.Modules[1].Verdict);
    }

    [Fact]
    public void An_identifier_that_no_definition_claims_is_a_note() =>
        Only(Car.Healthy().Every(100, 0x555, 0, _ => "00").Check(), Verdict.Go, ("unknown-identifier", FindingSeverity.Note, null));

    [Fact]
    public void A_message_is_not_missed_while_its_condition_does_not_hold()
    {
        var report = Car.Healthy()
            .Change(Key, (frame, _, at) => Some.Frame(Key, at < 5 ? "02" : "00", at * 1000, bus: 1))
            .Without(Fan, from: 5.05)
            .Check();

        Only(report, Verdict.Go);
        Assert.Equal(MessageState.Idle, report.Messages.Single(message => message.Definition?.Name == "Fan").State);
    }

    [Fact]
    public void A_message_is_missed_once_its_condition_holds()
    {
        var report = Car.Healthy()
            .Change(Key, (frame, _, at) => Some.Frame(Key, at < 5 ? "00" : "02", at * 1000, bus: 1))
            .Without(Fan)
            .Check();

        Only(report, Verdict.NoGo, ("message-missing", FindingSeverity.Fault, "Fan"));
        Assert.Equal(5.0, report.Findings[0].At!.Value.Seconds, 9);
    }

    [Fact]
    public void A_message_that_never_came_is_missed_even_when_its_condition_ended_before_the_session()
    {
        var report = Car.Healthy()
            .Change(Key, (frame, _, at) => Some.Frame(Key, at < 5 ? "02" : "00", at * 1000, bus: 1))
            .Without(Fan)
            .Check();

        Only(report, Verdict.NoGo, ("message-missing", FindingSeverity.Fault, "Fan"));
        Assert.Equal(MessageState.Missing, report.Messages.Single(message => message.Definition?.Name == "Fan").State);
    }

    [Fact]
    public void A_condition_that_never_held_leaves_the_check_inconclusive()
    {
        var report = Car.Healthy().Change(Key, (frame, _, at) => Some.Frame(Key, "00", at * 1000, bus: 1)).Check();

        Only(report, Verdict.Inconclusive, ("not-judged", FindingSeverity.Note, "Fan"));
        Assert.Equal([Verdict.Go, Verdict.Inconclusive, Verdict.Go], report.Modules.Select(module => module.Verdict));
        Assert.Equal("Fan could not be judged: its condition Position >= 2 never held, but it came all the same, from 0 s on. Either the condition is wrong, or Key, which tells it, says the wrong thing: look at that first", report.Findings.Single(finding => finding.Code == "not-judged").Text);
    }

    [Fact]
    public void Too_short_a_capture_is_inconclusive() =>
        Assert.Contains(
            Assert.Single(new[] { Car.Healthy(seconds: 0.15).Check() }, report => report.Verdict == Verdict.Inconclusive).Findings,
            finding => finding.Text.Contains(" messages could not be judged: they were expected for ", StringComparison.Ordinal) && finding.Text.Contains(" only. Record 500 ms or longer: Gear, ", StringComparison.Ordinal));

    [Fact]
    public void What_is_wrong_wins_over_what_is_not_known() =>
        Assert.Equal(Verdict.NoGo, Car.Healthy().Change(Key, (frame, _, at) => Some.Frame(Key, "00", at * 1000, bus: 1)).Without(Gear).Check().Verdict);

    [Fact]
    public void A_source_that_was_cut_is_never_go()
    {
        var report = Car.Healthy().Check(interruption: "cut short");

        Only(report, Verdict.Inconclusive, ("source-cut", FindingSeverity.Note, null));
        Assert.DoesNotContain(report.Modules, module => module.Verdict == Verdict.Go);
    }

    [Fact]
    public void What_the_recorder_says_it_lost_is_a_warning()
    {
        var monitor = Car.Monitor();
        foreach (var batch in TestKit.Some.Batches(Car.Healthy().Frames.OrderBy(frame => frame.Time)))
        {
            monitor.Accept(batch, Car.Buses);
        }

        monitor.TellLost(1, 17);
        monitor.TellLost(9, 17);

        Only(monitor.Report(isFinal: true), Verdict.Go, ("recorder-lost-frames", FindingSeverity.Warning, null));
    }

    [Fact]
    public void No_frames_are_inconclusive() =>
        Only(Car.Healthy(seconds: 0).Check(), Verdict.Inconclusive, ("no-frames", FindingSeverity.Note, null));

    [Fact]
    public void A_definition_that_expects_nothing_is_inconclusive() =>
        Assert.Equal(Verdict.Inconclusive, Car.Healthy().Check("busscope: 1\nmessages: { A: { id: 0x7FF } }").Verdict);

    private static Frame Spoilt(Frame frame)
    {
        var data = frame.Data.ToArray();
        data[7] ^= 0x55;
        return Some.Frame(frame.Id.Value, Convert.ToHexString(data), frame.Time.Seconds * 1000, frame.Bus);
    }

    // The module "engine" needs nothing, which is always noted.
    private static void Only(HealthReport report, Verdict verdict, params (string Code, FindingSeverity Severity, string? Message)[] expected)
    {
        var found = report.Findings.Where(finding => finding.Code != "module-needs-nothing").Select(finding => (finding.Code, finding.Severity, finding.Message));

        Assert.Equal(expected.Where(finding => finding.Code != "module-needs-nothing").Order(), found.Order());
        Assert.Equal(verdict, report.Verdict);
    }
}
