using System.Globalization;
using BusScope.Health.Tracking;
using BusScope.Signals.Definitions;

namespace BusScope.Health.Findings;

/// <summary>The latest payload of one sender, held against what never changed in the healthy car.</summary>
internal readonly struct PayloadContrast(DefinedMessage message, MessageTrack track)
{
    // Fewer bits may well all be 1. This program's choice.
    private const int FewestOnes = 16;

    // What few frames have in common is not yet constant. This program's choice.
    private const long FewestFrames = 8;

    /// <summary>How <see cref="IsAllOnes"/> is told.</summary>
    public const string AllOnes = "All its bits are 1, which many senders use for \"not available\" (SAE J1939-71)";

    /// <summary>Whether the sender says of everything that it is not available, and has done so in all frames, although something that it never said in the healthy car is among it.</summary>
    public bool NeverTold => IsAllOnes(ever: true) && Differing(ever: true).Count > 0;

    /// <summary>
    /// Whether it has come to say so of a message that no <c>lives</c> watches, while it is expected: its latest payload is nothing but ones, and something that it never said in the
    /// healthy car is among it.
    /// </summary>
    public bool TellsNoMore => track.Life?.WholePayload is null && !message.IsOff && IsAllOnes(ever: false) && Differing(ever: false).Count > 0;

    /// <summary>Whether all bits of the payload are 1, those of its counter and checksum aside.</summary>
    /// <param name="ever">Whether they must have been so in all frames.</param>
    public bool IsAllOnes(bool ever)
    {
        var now = Payload(ever);
        var changed = track.Payloads.Changed(track.Length);
        Span<byte> counted = stackalloc byte[now.Length];
        counted.Fill(byte.MaxValue);
        Leave(counted, message.Definition.Counter?.Field);
        Leave(counted, message.Definition.Checksum?.Field);
        var ones = 0;
        for (var i = 0; i < now.Length; i++)
        {
            if ((now[i] & counted[i]) != counted[i] || (ever && (changed[i] & counted[i]) != 0))
            {
                return false;
            }

            ones += byte.PopCount(counted[i]);
        }

        return ones >= FewestOnes;
    }

    /// <summary>Of each byte that stands at something else what it is and what it was.</summary>
    /// <param name="ever">Whether it must have been so in all frames: what changes in this check is alive.</param>
    public IReadOnlyList<string> Differing(bool ever)
    {
        if (message.Definition.Constant is not { } constant || track.Frames < FewestFrames || track.WrongLength.Count > 0)
        {
            return [];
        }

        var now = Payload(ever);
        var changed = track.Payloads.Changed(track.Length);
        var differing = new List<string>();
        for (var i = 0; i < Math.Min(constant.Mask.Length, now.Length); i++)
        {
            var then = constant.Value.Span[i];
            var mask = (byte)(constant.Mask.Span[i] & (ever ? ConstantPayload.UnchangedDigits(changed[i]) : byte.MaxValue));
            if (((then ^ now[i]) & mask) != 0)
            {
                differing.Add(string.Create(CultureInfo.InvariantCulture, $"byte {i} is {ConstantPayload.Digits(now[i], mask)} instead of {ConstantPayload.Digits(then, mask)}"));
            }
        }

        return differing;
    }

    // Of what rests, the payload that does: a sender may say what it likes while nothing is expected of it.
    private ReadOnlySpan<byte> Payload(bool ever) => !ever && track.Life is { } life ? life.Latest(track.Length) : track.Payloads.Latest(track.Length);

    private static void Leave(Span<byte> bits, BitField? field)
    {
        for (var i = 0; i < (field?.Length ?? 0); i++)
        {
            var at = field!.Value.At(i);
            if (at.Byte < bits.Length)
            {
                bits[at.Byte] &= (byte)~(1 << at.Bit);
            }
        }
    }
}
