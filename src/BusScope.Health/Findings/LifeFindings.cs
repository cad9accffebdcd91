using System.Globalization;
using BusScope.Health.Tracking;
using BusScope.Signals.Definitions;
using BusScope.Signals.Plans;

namespace BusScope.Health.Findings;

/// <summary>What stands still in the frames of one sender although it is meant to live.</summary>
internal readonly struct LifeFindings(FindingList findings, DefinedMessage message, MessageTrack track, FindingSeverity severity)
{
    // A signal that is meant to move is called stuck only after so many readings. This program's choice.
    private const long FewestReadings = 20;

    private string Name => message.Definition.Name;

    /// <summary>Adds what is found.</summary>
    public void Find()
    {
        if (track.Tally is { } tally)
        {
            for (var i = 0; i < tally.Signals.Length; i++)
            {
                Signal(message.Definition.Signals[i], tally.Signals[i], WatchOf(i));
            }
        }

        if (track.Life?.WholePayload is { Frozen: { } rest } payload)
        {
            Payload(payload, rest);
        }
    }

    private StillWatch? WatchOf(int signal)
    {
        foreach (var watch in track.Life?.Watches ?? [])
        {
            if (watch.Bits.Signal == signal)
            {
                return watch;
            }
        }

        return null;
    }

    private void Signal(SignalDefinition signal, SignalTally tally, StillWatch? watch)
    {
        if (signal.Lives && !tally.EverChanged && tally.Valid >= FewestReadings)
        {
            Add(new Finding(
                FindingCodes.SignalStuck,
                severity,
                string.Create(CultureInfo.InvariantCulture, $"{Name}/{signal.Name} never moved in {tally.Valid} readings: {tally.Minimum:0.###}{(signal.Unit is { } unit ? " " + unit : "")} all the time"))
            {
                Signal = signal.Name,
                At = track.First,
                Count = tally.Valid,
            });
        }
        else if (watch is { EverMoved: true, Frozen: { } rest } && tally.NotAvailable.Count + tally.Error.Count + tally.OutOfRange.Count < rest.Frames)
        {
            // It may have its reason to rest: what moved before is not at fault for that.
            Add(At(rest, new Finding(
                FindingCodes.SignalStuck,
                FindingSeverity.Warning,
                string.Create(CultureInfo.InvariantCulture, $"{Name}/{signal.Name} moved until {findings.Moment(rest.From)} and then stood still for {rest.Length}, {rest.Frames} readings"))
            {
                Signal = signal.Name,
            }));
        }
    }

    // From the bus alone a sender that froze cannot be told from a car that stands. What lives again proves that its sender does; while it
    // rests nobody can vouch for the message, and nobody is called starved by it: but a car that stands has no reason to say "not available" of what never changed.
    private void Payload(StillWatch watch, Rest rest)
    {
        var causes = "Either its sender froze, or the car gave it nothing to tell, as when it stands";
        var from = watch.EverMoved ? $"from {findings.Moment(rest.From)} on" : "from the beginning";
        if (!watch.IsFrozen)
        {
            Payload(rest, FindingSeverity.Warning, string.Create(
                CultureInfo.InvariantCulture,
                $"{Name} stood still for {rest.Length} where it used to live: {from} nothing of it changed in {rest.Frames} frames; then it lived again. {causes}"));
            return;
        }

        var contrast = new PayloadContrast(message, track);
        var differing = contrast.Differing(ever: false);
        var (isAllOnes, isOther) = (contrast.IsAllOnes(ever: false), differing.Count > 0);
        var end = message.IsOff ? $"as long as {message.Condition!.Text} held" : "to the end";
        var ones = isAllOnes ? $" {PayloadContrast.AllOnes}." : "";
        var others = isOther ? $" What never changed is something else as well: {string.Join(", ", differing)}." : "";
        var means = isAllOnes && isOther
            ? " Its sender tells nothing of what it told in the healthy car, which no car does because it stands"
            : $" {causes}: it is not judged. Record while what it tells of moves, or learn from a capture in which it rests as well";
        Payload(rest, isAllOnes && isOther ? severity : FindingSeverity.Warning, string.Create(
            CultureInfo.InvariantCulture,
            $"{Name} is constant where it used to live: {from} nothing of it changed in {rest.Frames} frames, {end}.{ones}{others}{means}"));
    }

    private void Payload(Rest rest, FindingSeverity weight, string text) =>
        Add(At(rest, new Finding(FindingCodes.PayloadStuck, weight, text)));

    private static Finding At(Rest rest, Finding finding) => finding with
    {
        At = rest.From,
        Until = rest.Until,
        Frame = rest.Number > 0 ? rest.Number : null,
        UntilFrame = rest.UntilNumber > 0 ? rest.UntilNumber : null,
        Count = rest.Frames,
    };

    private void Add(Finding finding) => findings.Add(message, finding, track.Bus);
}
