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
