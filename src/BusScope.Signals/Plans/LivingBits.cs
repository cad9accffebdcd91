using BusScope.Signals.Definitions;

namespace BusScope.Signals.Plans;

/// <summary>Bits of a message's payload that must not rest together: those of a signal that lives, or those that the message marks. Frozen.</summary>
public sealed class LivingBits
{
    private readonly byte[] mask;

    private LivingBits(int signal, int firstByte, byte[] mask)
    {
        Signal = signal;
        FirstByte = firstByte;
        this.mask = mask;
    }

    /// <summary>The index of the signal in its message, or -1 for bits that the message itself marks.</summary>
    public int Signal { get; }

    /// <summary>The first payload byte.</summary>
    public int FirstByte { get; }

    /// <summary>The bits of that byte and of those behind it.</summary>
    public ReadOnlySpan<byte> Mask => mask;

    /// <summary>
    /// Everything that lives in a message: its signals that are marked so (a multiplexed one aside, whose bits belong to others as well),
    /// and the bits that the message marks.
    /// </summary>
    internal static LivingBits[] Compile(MessageDefinition definition)
    {
        var bits = new List<LivingBits>();
        for (var i = 0; i < definition.Signals.Count; i++)
        {
            if (definition.Signals[i] is { Lives: true, When.Count: 0 } signal)
            {
                var field = signal.Field;
                var mask = new byte[field.LastByte - field.FirstByte + 1];
                for (var bit = 0; bit < field.Length; bit++)
                {
                    var at = field.At(bit);
                    mask[at.Byte - field.FirstByte] |= (byte)(1 << at.Bit);
                }

                bits.Add(new LivingBits(i, field.FirstByte, mask));
            }
        }

        if (definition.Lives.Span.IndexOfAnyExcept((byte)0) is var first and >= 0)
        {
            bits.Add(new LivingBits(-1, first, definition.Lives[first..].ToArray()));
        }

        return [.. bits];
    }
}
