using System.Globalization;
using BusScope.Health.Tracking;
using BusScope.Signals.Definitions;

namespace BusScope.Health.Findings;

/// <summary>
/// What was constant in the healthy car and is another constant in the frames of one sender. A hint for a person and no fault: an odometer, a date or a
/// seat's position is constant in a capture as well. What changes in this check is alive, and is not compared.
/// </summary>
internal readonly struct ConstantFindings(FindingList findings, DefinedMessage message, MessageTrack track)
{
    // What few frames have in common is not yet constant. This program's choice.
    private const long FewestFrames = 8;

    /// <summary>Adds what is found.</summary>
    public void Find()
    {
        // A payload that is frozen as a whole, at a default for example, is told as that.
        var isFrozen = track.Life?.WholePayload is { EverMoved: false, IsFrozen: true };
        if (message.Definition.Constant is not { } constant || track.Frames < FewestFrames || track.WrongLength.Count > 0 || isFrozen)
        {
            return;
        }

        var now = track.Payloads.Latest(track.Length);
        var changed = track.Payloads.Changed(track.Length);
        var differing = new List<string>();
        for (var i = 0; i < Math.Min(constant.Mask.Length, now.Length); i++)
        {
            var (then, mask) = (constant.Value.Span[i], (byte)(constant.Mask.Span[i] & ConstantPayload.UnchangedDigits(changed[i])));
            if (((then ^ now[i]) & mask) != 0)
            {
                differing.Add(string.Create(CultureInfo.InvariantCulture, $"byte {i} is {ConstantPayload.Digits(now[i], mask)} instead of {ConstantPayload.Digits(then, mask)}"));
            }
        }

        if (differing.Count > 0)
        {
            findings.Add(message, new Finding(
                FindingCodes.PayloadDiffers,
                FindingSeverity.Warning,
                string.Create(CultureInfo.InvariantCulture, $"{message.Definition.Name} is constant at something else than before: {string.Join(", ", differing)}, in all {track.Frames} frames"))
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
