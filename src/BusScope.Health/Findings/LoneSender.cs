using System.Globalization;
using BusScope.Frames;
using BusScope.Health.Tracking;

namespace BusScope.Health.Findings;

/// <summary>
/// A sender that nobody acknowledges. A frame without an acknowledgement is an error, and is sent again at once (ISO 11898-1,
/// acknowledgement and automatic retransmission); since that error does not take an error-passive sender off the bus, it goes on for
/// ever: one identifier, without pause, beside some error reports. That no other message comes on that bus is its consequence, and told with it. The figures are this
/// program's choice.
/// </summary>
/// <param name="Bus">The bus.</param>
/// <param name="Loud">What comes over and over.</param>
/// <param name="Every">How often.</param>
internal sealed record LoneSender(BusTrack Bus, MessageTrack Loud, FrameSpan Every)
{
    private const long FewestFrames = 100;
    private const double SmallestShare = 0.9;

    // Where the bit rate is known: this part of the time the identifier alone keeps the bus busy.
    private const double SmallestLoad = 0.6;

    // Otherwise: so many times as often as it is defined.
    private const int TimesTooOften = 4;

    // ISO 11898-1: what a data frame of the classical format has beside its data, the pause between two frames included, no stuff bits.
    private const int BaseBits = 47;
    private const int ExtendedBits = 67;

    private readonly HashSet<DefinedMessage> missed = [];
    private FindingSeverity severity = FindingSeverity.Warning;

    /// <summary>What is seen of it on a bus, or null.</summary>
    public static LoneSender? On(BusTrack bus)
    {
        if (bus.ErrorFrames == 0 || bus.Tracks.MaxBy(track => track.Frames) is not { } loud || loud.Frames < FewestFrames
            || loud.Periods.Count == 0 || loud.Frames < SmallestShare * (bus.Frames - bus.ErrorFrames))
        {
            return null;
        }

        var median = loud.Periods.Figures.Median!.Value;
        return IsWithoutPause(bus, loud, median) ? new LoneSender(bus, loud, median) : null;
    }

    /// <summary>Whether what was found against a message is its consequence: then it is told with it.</summary>
    public bool Takes(DefinedMessage message, BusTrack? bus, Finding finding)
    {
        if (bus != Bus || finding.Severity == FindingSeverity.Note)
        {
            return false;
        }

        if (message == Loud.Defined)
        {
            return finding.Code is FindingCodes.MessageTooFast or FindingCodes.TwoSenders or FindingCodes.ExtraFrames or FindingCodes.MessageJitters;
        }

        if (finding.Code is not (FindingCodes.MessageMissing or FindingCodes.MessageStopped))
        {
            return false;
        }

        missed.Add(message);
        severity = finding.Severity > severity ? finding.Severity : severity;
        return true;
    }

    /// <summary>The finding.</summary>
    public Finding Finding()
    {
        var name = Loud.Defined?.Definition.Name ?? Loud.Id.ToString();
        var consequence = missed.Count == 0 ? "" : string.Create(CultureInfo.InvariantCulture, $". Therefore {missed.Count} {(missed.Count == 1 ? "message does" : "messages do")} not come ({NameList.Of(missed)})");
        return new Finding(
            FindingCodes.BusUnacknowledged,
            severity,
            string.Create(CultureInfo.InvariantCulture, $"nobody acknowledges on bus {Bus.Bus.Name}: {name} comes over and over, every {Every}, in {Loud.Frames} of {Bus.Frames - Bus.ErrorFrames} frames, beside {Bus.ErrorFrames} error {(Bus.ErrorFrames == 1 ? "report" : "reports")}. A sender that is alone on its bus does so (ISO 11898-1): look for a plug that is off, a broken wire, modules without power or with another bit rate{consequence}"))
        {
            Bus = Bus.Bus.Name,
            Message = name,
            Modules = NameList.Modules(missed),
            At = Loud.First,
            Until = Loud.Last,
            Count = Loud.Frames,
        };
    }

    private static bool IsWithoutPause(BusTrack bus, MessageTrack loud, FrameSpan median)
    {
        if (bus.Bus.BitRate is { } rate && loud.Length <= 8)
        {
            var bits = (loud.Id.IsExtended ? ExtendedBits : BaseBits) + (8 * loud.Length);
            return bits >= SmallestLoad * rate * median.Seconds;
        }

        return loud.Defined?.Definition.Timing.Every is { } every && median * TimesTooOften <= every;
    }
}
