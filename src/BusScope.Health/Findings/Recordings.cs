using System.Globalization;
using BusScope.Frames;
using BusScope.Health.Tracking;

namespace BusScope.Health.Findings;

/// <summary>
/// What is wrong with the recording of each bus: frames that are missing in it, frames that are in it twice, times that it does not hold. None of it is
/// the car's fault, so that what it makes of the messages is told with it and not of them; but nobody vouches for them then.
/// </summary>
internal sealed class Recordings
{
    // What is missing beyond this share of the time is no small hole any more. This program's choice.
    private const double LargestHoles = 0.1;

    private readonly FrameTime now;
    private readonly List<OfBus> buses;
    private readonly ShortRecordings shorter;

    /// <summary>Looks at the buses of a session.</summary>
    public Recordings(SessionTrack session, FrameTime now, bool isFinal)
    {
        this.now = now;
        buses = session.Buses.ConvertAll(bus => new OfBus(bus, DoubledFrames.On(bus), ScatteredLoss.On(bus), StampError.On(bus)));
        shorter = new ShortRecordings(session, now, isFinal);
    }

    /// <summary>Whether each tells of all that was on its bus.</summary>
    public bool AreWhole => buses.TrueForAll(own => IsWhole(own.Bus));

    /// <summary>Whether the recording of a bus tells of all that was on it; null is a bus that the source does not have.</summary>
    public bool IsWhole(BusTrack? bus) => bus is null || (bus.OffSince is null && buses[bus.Index] is { Doubled: null, Loss: null, Stamps: null } && !shorter.Hold(bus) && !HasLargeHoles(bus));

    // A gateway that gives nothing on for as long leaves the same file.
    private bool HasLargeHoles(BusTrack bus) => bus.Evidence.ShowsLoss && bus.Silences.Total > (bus.Recorded(now) - bus.First) * LargestHoles;

    /// <summary>Whether the recording of a bus explains what was found against a message.</summary>
    public bool Explains(DefinedMessage message, BusTrack? bus, Finding finding) => bus is not null && EffectOn(buses[bus.Index], message, finding) is not null;

    /// <summary>Whether what was found against a message is explained by the recording of a bus: then it is told with that.</summary>
    public bool Takes(DefinedMessage message, BusTrack? bus, Finding finding)
    {
        if (bus is null || EffectOn(buses[bus.Index], message, finding) is not { } effect)
        {
            return false;
        }

        buses[bus.Index].Messages(effect).Add(message);
        return true;
    }

    /// <summary>Whether the times of a recording, or the order of its rows, explain that its bus as a whole paused.</summary>
    public bool ExplainPauses(BusTrack bus) => buses[bus.Index].Stamps?.Explains(bus.Silences.Longest, bus.PauseTime) == true;

    /// <summary>Whether a bus that is silent at the end is told as that here.</summary>
    public bool ExplainsEnd(BusTrack bus) => shorter.IsQuietAtTheEnd(bus);

    /// <summary>Says so, once for each cause.</summary>
    public void Report(FindingList findings)
    {
        foreach (var own in buses)
        {
            var name = own.Bus.Bus.Name;
            if (own.Doubled is { } doubled)
            {
                Add(findings, own, new Finding(
                    FindingCodes.RecordingDoubled,
                    FindingSeverity.Warning,
                    string.Create(CultureInfo.InvariantCulture, $"the recording of bus {name} holds every frame twice, {doubled.Apart} apart, in {doubled.Messages} messages of whatever sender: as when two recorders have one name, or an adapter gives back what another one hears. Whether a message has two senders cannot be told so: record each bus once"))
                {
                    At = own.Bus.First,
                    Count = doubled.Messages,
                });
            }

            if (own.Stamps is { } stamps)
            {
                Add(findings, own, new Finding(stamps.Code, FindingSeverity.Warning, stamps.TextFor(name)) { At = own.Bus.First, Count = stamps.Times });
            }

            if (own.Loss is { } loss)
            {
                Add(findings, own, new Finding(
                    FindingCodes.RecorderLostFrames,
                    FindingSeverity.Warning,
                    string.Create(CultureInfo.InvariantCulture, $"frames are missing in the recording of bus {name}, some {loss.Share:P1} of them: {loss.Counters} counters jumped {loss.Jumps} times, by just as many as their periods make of the gap before. Record again"))
                {
                    At = loss.First,
                    Until = loss.Last,
                    Count = loss.Jumps,
                });
            }
        }

        shorter.Report(findings);
    }

    // The cause, and behind it what it does to the messages.
    private static void Add(FindingList findings, OfBus own, Finding cause)
    {
        var effects = own.Effects.Select(effect => string.Create(
            CultureInfo.InvariantCulture,
            $"{effect.Value.Count} {(effect.Value.Count == 1 ? "message is" : "messages are")} {effect.Key} ({NameList.Of(effect.Value)})"));
        findings.Add(cause with
        {
            Text = own.Effects.Count == 0 ? cause.Text : $"{cause.Text}. Because of it {string.Join(", ", effects)}",
            Bus = own.Bus.Bus.Name,
            Modules = NameList.Modules(own.Effects.SelectMany(effect => effect.Value)),
        });
    }

    private string? EffectOn(OfBus own, DefinedMessage message, Finding finding)
    {
        var track = message.Tracks.Find(each => each.Bus == own.Bus);
        return finding.Code switch
        {
            FindingCodes.MessageLate when own.Loss is not null => "late",
            FindingCodes.MessageStale when ExplainsGap(track!.Expectation!.StaleGaps.Longest) => "stale for a while",
            FindingCodes.MessageMissing when ExplainsGap(own.Bus.Recorded(now) - finding.At!.Value) => "missing",
            FindingCodes.MessageStopped when ExplainsGap(own.Bus.Recorded(now) - finding.At!.Value) => "stale at the end",
            FindingCodes.TwoSenders when own.Doubled is not null && !SenderCount.CountersInTurn(track!) => "too frequent",
            FindingCodes.MessageTooFast or FindingCodes.ExtraFrames or FindingCodes.MessageJitters when own.Doubled is not null => "too frequent",
            FindingCodes.CounterRepeated when own.Doubled is not null && DoubledFrames.Explains(track!.Tally!) => "seen with repeated counters",
            _ => track is null ? null : own.Stamps?.EffectOn(track, finding, own.Bus.Recorded(now)),
        };

        bool ExplainsGap(FrameSpan gap) => own.Loss?.ExplainsGap(message.Definition.Timing, own.Bus.PauseTime, gap, track?.Expectation?.Gaps ?? 0) == true;
    }

    private sealed record OfBus(BusTrack Bus, DoubledFrames? Doubled, ScatteredLoss? Loss, StampError? Stamps)
    {
        public Dictionary<string, HashSet<DefinedMessage>> Effects { get; } = new(StringComparer.Ordinal);

        public HashSet<DefinedMessage> Messages(string effect)
        {
            if (!Effects.TryGetValue(effect, out var messages))
            {
                Effects.Add(effect, messages = []);
            }

            return messages;
        }
    }
}
