using BusScope.Frames;
using BusScope.Session;
using BusScope.Signals.Definitions;
using Xunit;

namespace BusScope.Health.Tests.Session;

public sealed class EventLogTests
{
    private static readonly MessageDefinition EngineSpeed = new()
    {
        Name = "EngineSpeed",
        Key = new MessageKey.Identifier(new CanId(0x0C8, false)),
        NeededBy = ["cluster"],
        Timing = new MessageTiming { Every = FrameSpan.FromMilliseconds(10), StaleAfter = FrameSpan.FromMilliseconds(100) },
    };

    private readonly EventLog log = new();

    [Fact]
    public void A_message_goes_stale_just_when_its_stale_time_is_over()
    {
        log.Compare(Report(10, Expected(MessageState.Fresh, last: 9.99)));
        log.Compare(Report(11, Expected(MessageState.Stale, last: 10)));

        Assert.Equal([new SessionEvent(At(10.1), "EngineSpeed on chassis went stale", FindingSeverity.Fault) { Bus = "chassis", DefinitionIndex = 0 }], log.Latest());
    }

    [Fact]
    public void A_message_recovers_when_it_comes_back()
    {
        log.Compare(Report(10, Expected(MessageState.Stale, last: 5)));
        log.Compare(Report(11, Expected(MessageState.Fresh, last: 10.99)));

        Assert.Equal([new SessionEvent(At(10.99), "EngineSpeed on chassis recovered", FindingSeverity.Note) { Bus = "chassis", DefinitionIndex = 0 }], log.Latest());
    }

    [Fact]
    public void A_message_never_seen_is_missing_and_may_appear()
    {
        log.Compare(Report(1, Expected(MessageState.Awaited, last: null)));
        log.Compare(Report(6, Expected(MessageState.Missing, last: null)));
        log.Compare(Report(7, Expected(MessageState.Fresh, last: 6.9)));

        Assert.Equal(["EngineSpeed on chassis is missing: never seen", "EngineSpeed on chassis appeared"], log.Latest().Select(happened => happened.Text));
    }

    [Fact]
    public void A_silent_bus_is_one_event_and_not_one_a_message()
    {
        log.Compare(Report(10, Expected(MessageState.Fresh, last: 10)));
        log.Compare(Report(12, Expected(MessageState.Stale, last: 10) with { BusIsSilent = true }) with { Buses = [new BusHealth("chassis") { IsSilent = true }] });
        log.Compare(Report(14, Expected(MessageState.Fresh, last: 14)) with { Buses = [new BusHealth("chassis") { Last = At(13.9) }] });

        Assert.Equal(["bus chassis fell silent", "bus chassis speaks again"], log.Latest().Select(happened => happened.Text));
    }

    [Fact]
    public void Late_is_no_event()
    {
        log.Compare(Report(10, Expected(MessageState.Fresh, last: 10)));
        log.Compare(Report(10.05, Expected(MessageState.Late, last: 10)));

        Assert.Empty(log.Latest());
    }

    [Fact]
    public void An_identifier_that_appears_later_is_told_and_one_of_the_beginning_is_not()
    {
        log.Compare(Report(0.1));
        log.Compare(Report(1, Unknown(0x100, 0.9)));
        log.Compare(Report(20, Unknown(0x0F0, 19.5), Unknown(0x100, 0.9)));

        Assert.Equal([new SessionEvent(At(19.5), "0x0F0 on chassis appeared", FindingSeverity.Note) { Bus = "chassis", Id = new CanId(0x0F0, false) }], log.Latest());
    }

    [Fact]
    public void A_module_changes_its_verdict()
    {
        var cluster = new ModuleDefinition { Name = "cluster", GivenTitle = "Instrument cluster" };

        log.Compare(Report(1) with { Modules = [new ModuleHealth(cluster, Verdict.Inconclusive)] });
        log.Compare(Report(2) with { Modules = [new ModuleHealth(cluster, Verdict.Go)] });
        log.Compare(Report(3) with { Modules = [new ModuleHealth(cluster, Verdict.NoGo)] });

        Assert.Equal(["Instrument cluster: GO", "Instrument cluster: NO-GO"], log.Latest().Select(happened => happened.Text));
    }

    [Fact]
    public void The_oldest_make_room()
    {
        for (var i = 0; i < EventLog.Capacity + 10; i++)
        {
            log.Compare(Report(i, Expected(i % 2 == 0 ? MessageState.Stale : MessageState.Fresh, last: i)));
        }

        Assert.Equal(EventLog.Capacity, log.Latest().Count);
        Assert.Equal(At(EventLog.Capacity + 9), log.Latest()[^1].At);
    }

    [Fact]
    public void What_is_found_is_an_event_with_its_moment_and_its_sentence_told_once()
    {
        log.Compare(Report(10, Expected(MessageState.Fresh, last: 10)));
        log.Compare(Report(11, Expected(MessageState.Fresh, last: 11)) with { Findings = [Found("checksum-wrong", "EngineSpeed had a wrong checksum in 1 of 100 frames")] });
        log.Compare(Report(12, Expected(MessageState.Fresh, last: 12)) with { Findings = [Found("checksum-wrong", "EngineSpeed had a wrong checksum in 2 of 200 frames")] });

        Assert.Equal(
            [new SessionEvent(At(10.5), "EngineSpeed had a wrong checksum in 1 of 100 frames", FindingSeverity.Warning) { Bus = "chassis", DefinitionIndex = 0 }],
            log.Latest());
    }

    [Fact]
    public void What_becomes_a_fault_is_told_once_more_and_another_signal_is_another_finding()
    {
        log.Compare(Report(10));
        log.Compare(Report(11) with { Findings = [Found("value-out-of-range", "one") with { Signal = "Speed" }] });
        log.Compare(Report(12) with { Findings = [Found("value-out-of-range", "one, worse") with { Signal = "Speed", Severity = FindingSeverity.Fault }] });
        log.Compare(Report(13) with { Findings = [Found("value-out-of-range", "one again") with { Signal = "Speed" }, Found("value-out-of-range", "two") with { Signal = "Torque" }] });

        Assert.Equal(["one", "one, worse", "two"], log.Latest().Select(happened => happened.Text));
    }

    [Fact]
    public void What_a_change_of_state_has_told_is_not_told_again_and_notes_are_no_events()
    {
        log.Compare(Report(10, Expected(MessageState.Fresh, last: 10)));
        log.Compare(Report(11, Expected(MessageState.Stale, last: 10)) with { Findings = [Found("message-stopped", "stopped"), Found("not-judged", "open") with { Severity = FindingSeverity.Note }] });

        Assert.Equal(["EngineSpeed on chassis went stale"], log.Latest().Select(happened => happened.Text));
    }

    [Fact]
    public void What_is_wrong_at_the_first_look_has_its_events()
    {
        var cluster = new ModuleDefinition { Name = "cluster", GivenTitle = "Instrument cluster" };

        log.Compare(new HealthReport(Verdict.Inconclusive));
        log.Compare(Report(11, Expected(MessageState.Stale, last: 10)) with
        {
            Modules = [],
            Findings = [Found("message-stopped", "EngineSpeed stopped at 10 s")],
        });
        var alone = new EventLog();
        alone.Compare(Report(11) with { Modules = [new ModuleHealth(cluster, Verdict.NoGo)], Findings = [] });

        Assert.Equal(["EngineSpeed stopped at 10 s"], log.Latest().Select(happened => happened.Text));
        Assert.Equal([new SessionEvent(At(11), "Instrument cluster: NO-GO", FindingSeverity.Fault) { Module = "cluster" }], alone.Latest());
    }

    [Fact]
    public void A_copy_goes_on_with_what_was_told()
    {
        var wrong = Report(11) with { Findings = [Found("checksum-wrong", "wrong")] };
        log.Compare(Report(10));
        var before = log.Copy();
        log.Compare(wrong);
        var after = log.Copy();

        before.Compare(wrong);
        after.Compare(wrong);

        Assert.Equal(log.Latest(), before.Latest());
        Assert.Equal(log.Latest(), after.Latest());
    }

    [Fact]
    public void More_findings_than_are_told_apart_stay_in_the_report_alone()
    {
        log.Compare(Report(10));
        log.Compare(Report(11) with { Findings = [.. Enumerable.Range(0, ToldFindings.Capacity).Select(i => Found("checksum-wrong", "wrong") with { Signal = $"s{i}" })] });
        log.Compare(Report(12) with { Findings = [Found("checksum-wrong", "one too many") with { Signal = "another" }] });

        Assert.Equal(EventLog.Capacity, log.Latest().Count);
        Assert.DoesNotContain(log.Latest(), happened => happened.Text == "one too many");
    }

    private static Finding Found(string code, string text) => new(code, FindingSeverity.Warning, text) { Bus = "chassis", Message = "EngineSpeed", At = At(10.5) };

    private static FrameTime At(double seconds) => new FrameTime(0) + FrameSpan.FromSeconds(seconds);

    private static HealthReport Report(double now, params MessageHealth[] messages) =>
        new(Verdict.Inconclusive) { First = At(0), Now = At(now), Buses = [new BusHealth("chassis")], Messages = messages };

    private static MessageHealth Expected(MessageState state, double? last) => new()
    {
        Bus = "chassis",
        Definition = EngineSpeed,
        DefinitionIndex = 0,
        State = state,
        First = last is null ? null : At(0),
        Last = last is { } seconds ? At(seconds) : null,
    };

    private static MessageHealth Unknown(uint id, double first) => new() { Bus = "chassis", Id = new CanId(id, false), First = At(first), Last = At(first) };
}
