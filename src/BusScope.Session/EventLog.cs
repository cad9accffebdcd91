using BusScope.Frames;
using BusScope.Health;

namespace BusScope.Session;

/// <summary>
/// What changed from one report to the next, as sentences with times: a message fell silent or came back, an identifier
/// appeared, a bus fell silent, a verdict changed, something was found. What is wrong at the first look has its event too.
/// Bounded: the oldest make room.
/// </summary>
internal sealed class EventLog
{
    /// <summary>The most events kept.</summary>
    public const int Capacity = 1_000;

    // What appears while the first frames come is no event but the beginning.
    private static readonly FrameSpan Beginning = FrameSpan.FromSeconds(2);

    private readonly Queue<SessionEvent> events;
    private IReadOnlyList<SessionEvent> latest = [];
    private readonly List<ControllerStatus?> adapters;
    private readonly ToldFindings told;
    private HealthReport? before;
    private readonly List<SessionEvent> found = [];

    /// <summary>A log without events.</summary>
    public EventLog()
        : this([], [], new ToldFindings())
    {
    }

    private EventLog(Queue<SessionEvent> events, List<ControllerStatus?> adapters, ToldFindings told) => (this.events, this.adapters, this.told) = (events, adapters, told);

    /// <summary>The same log, which goes on by itself.</summary>
    public EventLog Copy() => new(new Queue<SessionEvent>(events), [.. adapters], told.Copy()) { latest = latest, before = before };

    /// <summary>The events so far, oldest first; the same list while nothing is added.</summary>
    public IReadOnlyList<SessionEvent> Latest() => latest;

    /// <summary>Notes what differs between the report before and this one.</summary>
    public void Compare(HealthReport report)
    {
        if (report.Now is { } now)
        {
            if (before is { } known)
            {
                CompareBuses(known, report, now);
                CompareMessages(known, report, now);
            }

            CompareModules(before, report, now);
            told.Tell(report, before?.Now is null, found);
        }

        before = report;
        if (found.Count > 0)
        {
            Keep();
        }
    }

    /// <summary>Notes what differs between what the adapters say now and what they said before.</summary>
    public void Compare(IFrameSource source)
    {
        for (var bus = 0; bus < source.Buses.Count; bus++)
        {
            var now = source.StatusOf(bus);
            if (bus == adapters.Count)
            {
                adapters.Add(now);
            }
            else if (!ReferenceEquals(adapters[bus], now))
            {
                CompareAdapters(source.Buses[bus].Name, adapters[bus], now);
                adapters[bus] = now;
            }
        }

        if (found.Count > 0)
        {
            Keep();
        }
    }

    private void CompareAdapters(string bus, ControllerStatus? was, ControllerStatus? now)
    {
        if (was is null || now is null)
        {
            return;
        }

        if (was.State != now.State)
        {
            var (what, severity) = now.State switch
            {
                ControllerState.ErrorActive when was.State == ControllerState.BusOff => ("has restarted after bus-off", FindingSeverity.Note),
                ControllerState.ErrorActive or ControllerState.Unknown when was.State is ControllerState.Down or ControllerState.Gone => ("is back", FindingSeverity.Note),
                ControllerState.ErrorActive or ControllerState.Unknown => ("is error active again", FindingSeverity.Note),
                ControllerState.ErrorWarning => ("counts errors: warning level", FindingSeverity.Warning),
                ControllerState.ErrorPassive => ("is error passive", FindingSeverity.Fault),
                ControllerState.BusOff => ("went bus-off", FindingSeverity.Fault),
                ControllerState.Down => ("was switched off", FindingSeverity.Fault),
                _ => ("was unplugged", FindingSeverity.Fault),
            };
            Add(now.Since, $"the adapter of bus {bus} {what}", severity, bus);
        }

        if (now.TimesBusOff > was.TimesBusOff && was.State != ControllerState.BusOff && now.State != ControllerState.BusOff)
        {
            Add(before?.Now ?? now.Since, $"the adapter of bus {bus} went bus-off and has restarted", FindingSeverity.Fault);
        }

        if (now.LostFrames > was.LostFrames)
        {
            Add(before?.Now ?? now.Since, $"the adapter of bus {bus} lost {now.LostFrames - was.LostFrames} frames", FindingSeverity.Fault, bus);
        }
    }

    private void CompareBuses(HealthReport known, HealthReport report, FrameTime now)
    {
        foreach (var bus in report.Buses)
        {
            // A bus that is met later may stand before others that the definitions know of.
            if (Find(known.Buses, bus.Name) is not { } was)
            {
                continue;
            }

            if (bus.IsSilent != was.IsSilent)
            {
                Add(
                    bus.IsSilent ? now : bus.Last ?? now,
                    bus.IsSilent ? $"bus {bus.Name} fell silent" : $"bus {bus.Name} speaks again",
                    bus.IsSilent ? FindingSeverity.Fault : FindingSeverity.Note,
                    bus.Name);
            }

            if (was.ErrorFrames == 0 && bus.ErrorFrames > 0)
            {
                Add(now, $"first error report on bus {bus.Name}", FindingSeverity.Warning, bus.Name);
            }
        }
    }

    private void CompareMessages(HealthReport known, HealthReport report, FrameTime now)
    {
        var was = 0;
        foreach (var message in report.Messages)
        {
            // Both lists stand in the same order; the new one may have more in between.
            if (was < known.Messages.Count && IsSame(known.Messages[was], message))
            {
                CompareStates(known.Messages[was++], message, now);
            }
            else if (message.First is { } first && report.First is { } start && first - start > Beginning)
            {
                Add(first, message, "appeared", FindingSeverity.Note);
            }
        }
    }

    private void CompareStates(MessageHealth was, MessageHealth message, FrameTime now)
    {
        if (was.State == message.State || message.BusIsSilent || was.BusIsSilent)
        {
            return;
        }

        switch (was.State, message.State)
        {
            case (_, MessageState.Stale):
                var staleAfter = message.Definition?.Timing.StaleAfter;
                var at = message.Last + staleAfter ?? now;
                Add(at, message, "went stale", Weight(message));
                break;
            case (_, MessageState.Missing):
                Add(now, message, "is missing: never seen", Weight(message));
                break;
            case (MessageState.Stale, MessageState.Fresh or MessageState.Late):
                Add(message.Last ?? now, message, "recovered", FindingSeverity.Note);
                break;
            case (MessageState.Missing, MessageState.Fresh or MessageState.Late):
                Add(message.First ?? now, message, "appeared", FindingSeverity.Note);
                break;
            default:
                break;
        }
    }

    private void CompareModules(HealthReport? known, HealthReport report, FrameTime now)
    {
        for (var i = 0; i < report.Modules.Count; i++)
        {
            var module = report.Modules[i];

            // At the first look only what is wrong is worth a word.
            if (known is not null ? known.Modules[i].Verdict != module.Verdict : module.Verdict == Verdict.NoGo)
            {
                var (word, severity) = module.Verdict switch
                {
                    Verdict.Go => ("GO", FindingSeverity.Note),
                    Verdict.NoGo => ("NO-GO", FindingSeverity.Fault),
                    _ => ("inconclusive", FindingSeverity.Warning),
                };
                Add(now, $"{module.Definition.Title}: {word}", severity, module: module.Definition.Name);
            }
        }
    }

    private static bool IsSame(MessageHealth left, MessageHealth right) =>
        left.DefinitionIndex == right.DefinitionIndex && (left.DefinitionIndex >= 0 || (left.Bus == right.Bus && left.Id == right.Id));

    private static BusHealth? Find(IReadOnlyList<BusHealth> buses, string name)
    {
        foreach (var bus in buses)
        {
            if (bus.Name == name)
            {
                return bus;
            }
        }

        return null;
    }

    private static string NameOf(MessageHealth message) => message.Definition?.Name ?? message.Id?.ToString() ?? "?";

    private static FindingSeverity Weight(MessageHealth message) =>
        message.Definition is { NeededBy.Count: > 0 } ? FindingSeverity.Fault : FindingSeverity.Warning;

    private void Add(FrameTime at, string text, FindingSeverity severity, string? bus = null, string? module = null) =>
        found.Add(new SessionEvent(at, text, severity) { Bus = bus, Module = module });

    private void Add(FrameTime at, MessageHealth message, string what, FindingSeverity severity) =>
        found.Add(new SessionEvent(at, $"{NameOf(message)} on {message.Bus} {what}", severity)
        {
            Bus = message.Bus,
            DefinitionIndex = message.DefinitionIndex,
            Id = message.Id,
        });

    // What one report brings is told in order of time.
    private void Keep()
    {
        foreach (var happened in found.OrderBy(happened => happened.At))
        {
            if (events.Count == Capacity)
            {
                events.Dequeue();
            }

            events.Enqueue(happened);
        }

        found.Clear();
        latest = [.. events];
    }
}
