using System.Globalization;
using BusScope.Frames;
using BusScope.Health.Tracking;

namespace BusScope.Health.Findings;

/// <summary>
/// A sender that nobody acknowledges. A frame without an acknowledgement is an error, and is sent again at once (ISO 11898-1,
/// acknowledgement and automatic retransmission); since that error does not take an error-passive sender off the bus, it goes on for
/// ever: one identifier, without pause, beside some error reports. The figures are this program's choice.
/// </summary>
internal static class LoneSender
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

    /// <summary>The finding, or null where the bus shows no such thing.</summary>
    public static Finding? On(BusTrack bus)
    {
        if (bus.ErrorFrames == 0 || bus.Tracks.MaxBy(track => track.Frames) is not { } loud || loud.Frames < FewestFrames
            || loud.Periods.Count == 0 || loud.Frames < SmallestShare * (bus.Frames - bus.ErrorFrames))
        {
            return null;
        }

        var median = loud.Periods.Figures.Median!.Value;
        if (!IsWithoutPause(bus, loud, median))
        {
            return null;
        }

        var name = loud.Defined?.Definition.Name ?? loud.Id.ToString();
        return new Finding(
            FindingCodes.BusUnacknowledged,
            FindingSeverity.Warning,
            string.Create(CultureInfo.InvariantCulture, $"nobody acknowledges on bus {bus.Bus.Name}: {name} comes over and over, every {median}, in {loud.Frames} of {bus.Frames - bus.ErrorFrames} frames, beside {bus.ErrorFrames} error {(bus.ErrorFrames == 1 ? "report" : "reports")}. A sender that is alone on its bus does so (ISO 11898-1): look for a plug that is off, a broken wire, modules without power or with another bit rate"))
        {
            Bus = bus.Bus.Name,
            Message = name,
            At = loud.First,
            Until = loud.Last,
            Count = loud.Frames,
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
