using System.Globalization;
using BusScope.Health.Tracking;

namespace BusScope.Health.Findings;

/// <summary>
/// What was constant in the healthy car and is another constant in the frames of one sender. A hint for a person and no fault: an odometer, a date or a
/// seat's position is constant in a capture as well. What changes in this check is alive, and is not compared.
/// </summary>
internal readonly struct ConstantFindings(FindingList findings, DefinedMessage message, MessageTrack track)
{
    /// <summary>Adds what is found.</summary>
    public void Find()
    {
        // A payload that is frozen as a whole is told as that, with what differs in it.
        if (track.Life?.WholePayload?.IsFrozen == true)
        {
            return;
        }

        var contrast = new PayloadContrast(message, track);
        if (!contrast.NeverTold && contrast.TellsNoMore)
        {
            findings.Add(message, new Finding(
                FindingCodes.PayloadDiffers,
                FindingSeverity.Warning,
                $"{message.Definition.Name} tells nothing at the end: {string.Join(", ", contrast.Differing(ever: false))}. {PayloadContrast.AllOnes}: it is not judged. Look whether its sender gets what it is to tell, or learn from a capture in which it says so as well")
            {
                Bus = track.Bus.Bus.Name,
                At = track.Last,
                Frame = track.Numbers?.Latest,
            });
            return;
        }

        if (contrast.Differing(ever: true) is { Count: > 0 } differing)
        {
            var silence = contrast.NeverTold ? $". {PayloadContrast.AllOnes}: it is not judged. Look whether its sender gets what it is to tell, or learn from a capture in which it says so as well" : "";
            findings.Add(message, new Finding(
                FindingCodes.PayloadDiffers,
                FindingSeverity.Warning,
                string.Create(CultureInfo.InvariantCulture, $"{message.Definition.Name} is constant at something else than before: {string.Join(", ", differing)}, in all {track.Frames} frames{silence}"))
            {
                Bus = track.Bus.Bus.Name,
                At = track.First,
                Until = track.Last,
                Frame = track.Numbers?.Earliest,
                UntilFrame = track.Numbers?.Latest,
                Count = track.Frames,
            });
        }
    }
}
