using System.Globalization;
using BusScope.Frames;
using BusScope.Health.Tracking;

namespace BusScope.Health.Findings;

/// <summary>What is wrong with whole buses, and what came that nobody defined.</summary>
internal sealed class BusFindings(SessionTrack session, FindingList findings, Recordings recordings, WrongBusSearch wrongBus, FrameTime now)
{
    // So many unknown identifiers are named in the text; all are in the report's rows.
    private const int MostNamed = 8;

    // Together, within the longest period that many messages have. This program's choice.
    private static readonly FrameSpan LongestApart = FrameSpan.FromMilliseconds(500);

    /// <summary>Adds what is found.</summary>
    public void Find(bool isFinal)
    {
        foreach (var bus in session.Buses)
        {
            Silence(bus);
            Lost(bus);
            Overflow(bus);
            if (isFinal && session.Messages.Count > 0 && !wrongBus.StandsFor(bus))
            {
                Unknown(bus);
            }
        }

        findings.ReportLoneSenders();

        // A bus that merely has another name in the source is told as that.
        foreach (var name in session.Places.AbsentBuses().Where(name => !wrongBus.Renames(name)))
        {
            Absent(name);
        }
    }

    private void Silence(BusTrack bus)
    {
        var isSilent = session.Start.IsKnown && session.IsSilent(bus, now) && !recordings.ExplainsEnd(bus);
        var past = bus.Evidence.ShowsLoss || recordings.ExplainPauses(bus) ? 0 : bus.Silences.Count;
        if (past == 0 && !isSilent)
        {
            return;
        }

        var present = isSilent ? session.Needs.SilenceOf(session.Places.ExpectedOn(bus)) : FindingSeverity.Note;

        // A car that falls asleep at the end says nothing of the time before in which it should have spoken.
        var isOfBefore = !isSilent || (past > 0 && bus.SilenceSeverity > present);
        var severity = bus.OffSince is not null ? FindingSeverity.Warning : present > bus.SilenceSeverity || past == 0 ? present : bus.SilenceSeverity;
        var since = bus.Latest.IsKnown ? bus.Latest : session.StartOf(bus);
        var until = bus.Recorded(now);
        var text = !bus.Latest.IsKnown ? $"bus {bus.Bus.Name} never spoke in {until - since}{Errors(bus)}"
            : !isOfBefore ? $"bus {bus.Bus.Name} is silent since {findings.Moment(since)}: no frame at all for {until - since}{Errors(bus)}"
            : string.Create(CultureInfo.InvariantCulture, $"bus {bus.Bus.Name} was silent {(past == 1 ? "once" : $"{past} times")}: {Longest(bus)}{(isSilent ? $"; and is silent since {findings.Moment(since)}{Errors(bus)}" : "")}");
        Add(
            new Finding(FindingCodes.BusSilent, severity, AllFellSilent() ? $"{text}. All buses fell silent together: the car went to sleep, the ignition was switched off, the adapter lost its supply, or its clock was set forward" : text)
            {
                Bus = bus.Bus.Name,
                At = past > 0 ? bus.Silences.First : since,
                Until = isSilent ? until : bus.Silences.Last,
                Count = past + (isSilent ? 1 : 0),
            },
            session.Messages.Where(message => session.Places.BusOf(message) == bus.Bus.Name && message.Expectations().Any(expectation => expectation.EverHeld)));
    }

    // What came instead of frames is nearer to the cause than that none did.
    private string Errors(BusTrack bus)
    {
        if (bus.Errors.Since(bus.Latest) is not (> 0 and var count))
        {
            return "";
        }

        var reports = string.Create(CultureInfo.InvariantCulture, $", but {count} error {(count == 1 ? "report" : "reports")}");
        return bus.OffSince is { } off
            ? $"{reports}. The adapter that recorded it withdrew from the bus at {findings.Moment(off)} (bus-off) and saw nothing after that: look at its bit rate and wiring, and record again"
            : $"{reports}: look at the bit rate, the wiring and the termination first";
    }

    private string Longest(BusTrack bus) =>
        $"no frame at all for {bus.Silences.Longest} {(bus.Silences.Count == 1 ? "" : "at the longest, ")}from {findings.Moment(bus.Silences.LongestFrom)}";

    // One bus alone tells nothing of what all have in common. Some may have spoken again since.
    private bool AllFellSilent()
    {
        var moments = session.Buses.Select(SilentFrom).OfType<FrameTime>().ToList();
        return session.Buses.Count > 1 && moments.Count == session.Buses.Count && moments.Max() - moments.Min() <= LongestApart;
    }

    private FrameTime? SilentFrom(BusTrack bus) =>
        !bus.Latest.IsKnown ? null
        : session.IsSilent(bus, now) ? bus.Latest
        : bus.Silences.Count > 0 && !bus.Evidence.ShowsLoss && !recordings.ExplainPauses(bus) ? bus.Silences.LongestFrom
        : null;

    // What the recorder lost was sent: it starves nobody, but nobody can vouch for it either.
    private void Lost(BusTrack bus)
    {
        if (bus.Evidence.ShowsLoss && !recordings.ExplainPauses(bus))
        {
            var holes = bus.Silences.Count;
            findings.Add(new Finding(
                FindingCodes.RecorderLostFrames,
                FindingSeverity.Warning,
                string.Create(CultureInfo.InvariantCulture, $"the recording of bus {bus.Bus.Name} has {(holes == 1 ? "a hole" : $"{holes} holes")}: {Longest(bus)}, but counters went on as if frames had been sent ({bus.Evidence.Counters} times)"))
            {
                Bus = bus.Bus.Name,
                At = bus.Silences.First,
                Until = bus.Silences.Last,
                Count = holes,
            });
        }

        if (bus.LostFrames > 0)
        {
            findings.Add(new Finding(
                FindingCodes.RecorderLostFrames,
                FindingSeverity.Warning,
                string.Create(CultureInfo.InvariantCulture, $"the recorder of bus {bus.Bus.Name} says that it lost {bus.LostFrames} {(bus.LostFrames == 1 ? "frame" : "frames")}: gaps and jumps of counters may be its own"))
            {
                Bus = bus.Bus.Name,
                Count = bus.LostFrames,
            });
        }
    }

    private void Absent(string name)
    {
        var messages = session.Messages.Where(message => message.Definition.Bus == name && message.Unseen is { } expectation && (expectation.Holds || expectation.StateAt(now) == MessageState.Missing)).ToList();
        if (!session.Start.IsKnown || now - session.Start <= BusTrack.ShortestSilence)
        {
            return;
        }

        Add(
            new Finding(FindingCodes.BusSilent, session.Needs.SilenceOf(messages), $"bus {name} never spoke in {now - session.Start}: the source has no bus of this name")
            {
                Bus = name,
                At = session.Start,
                Until = now,
            },
            messages);
    }

    // A silence that starves weighs on every message of the bus.
    private void Add(Finding finding, IEnumerable<DefinedMessage> messages)
    {
        var starved = finding.Severity == FindingSeverity.Note ? [] : messages.ToList();
        foreach (var message in starved)
        {
            findings.Weigh(message, session.Needs.IsNeeded(message.Definition) ? finding.Severity : FindingSeverity.Warning);
        }

        findings.Add(finding with { Modules = [.. starved.SelectMany(message => message.Definition.NeededBy).Distinct(StringComparer.Ordinal)] });
    }

    private void Overflow(BusTrack bus)
    {
        if (bus.OverflowFrames > 0)
        {
            findings.Add(new Finding(
                FindingCodes.IdentifierOverflow,
                FindingSeverity.Warning,
                string.Create(CultureInfo.InvariantCulture, $"bus {bus.Bus.Name} has more identifiers than the {HealthMonitor.LargestTracks} that are told apart: {bus.OverflowFrames} frames were counted only"))
            {
                Bus = bus.Bus.Name,
                Count = bus.OverflowFrames,
            });
        }
    }

    private void Unknown(BusTrack bus)
    {
        var unknown = bus.Tracks.Where(track => track.Defined is null).Select(track => track.Id).Order().ToList();
        if (unknown.Count == 0)
        {
            return;
        }

        var named = string.Join(", ", unknown.Take(MostNamed)) + (unknown.Count > MostNamed ? ", …" : "");
        findings.Add(new Finding(
            FindingCodes.UnknownIdentifier,
            FindingSeverity.Note,
            string.Create(CultureInfo.InvariantCulture, $"bus {bus.Bus.Name} has {unknown.Count} {(unknown.Count == 1 ? "identifier" : "identifiers")} that no definition claims: {named}"))
        {
            Bus = bus.Bus.Name,
            Count = unknown.Count,
        });
    }
}
