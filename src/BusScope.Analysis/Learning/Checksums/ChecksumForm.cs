using BusScope.Signals.Definitions;

namespace BusScope.Analysis.Learning.Checksums;

/// <summary>
/// One way a sender might compute a checksum, up to constants: what the payload contributes, and how a constant is taken off.
/// Start, final exclusive or and hidden data ids all come out as one constant for payloads of equal length, so they need not be
/// guessed: the residual is the same for every payload, or the form is wrong. (Hidden bytes behind the payload move its part on;
/// they make a form of their own.)
/// </summary>
internal abstract class ChecksumForm
{
    /// <summary>Bits of the checksum field.</summary>
    public int Width { get; protected init; }

    /// <summary>How many bits it takes to name this form among all that are tried.</summary>
    public abstract double HypothesisBits { get; }

    /// <summary>What a residual adds to the evidence: a plain sum that comes out at nothing left over is no accident.</summary>
    public virtual int Bonus(int residual) => 0;

    /// <summary>What remains of the checksum once the payload's part is taken off.</summary>
    /// <param name="payload">The payload.</param>
    /// <param name="coverage">The bytes that count.</param>
    /// <param name="check">The checksum as received.</param>
    public abstract int Residual(ReadOnlySpan<byte> payload, Coverage coverage, int check);

    /// <summary>The form as a definition, given the residual that all payloads share.</summary>
    public abstract ChecksumDefinition Define(Coverage coverage, int residual);
}

/// <summary>The bytes that a checksum covers: from one to another, without its own field.</summary>
/// <param name="From">The first byte.</param>
/// <param name="To">The last byte.</param>
/// <param name="Check">The checksum's own field.</param>
internal readonly record struct Coverage(int From, int To, BitField Check)
{
    /// <summary>What a byte contributes: nothing where it is all checksum, the other half where the checksum is half a byte.</summary>
    public byte Mask(int index)
    {
        if (index < Check.FirstByte || index > Check.LastByte)
        {
            return 0xFF;
        }

        return Check.Length >= 8 ? (byte)0 : Check.Start.Bit == 0 ? (byte)0xF0 : (byte)0x0F;
    }

    /// <summary>Whether the byte is skipped whole.</summary>
    public bool Skips(int index) => Check.Length >= 8 && index >= Check.FirstByte && index <= Check.LastByte;

    /// <summary>Which bytes of a payload count.</summary>
    public bool[] Bytes(int length)
    {
        var bytes = new bool[length];
        for (var i = From; i <= To; i++)
        {
            bytes[i] = !Skips(i);
        }

        return bytes;
    }

    /// <summary>The covered bytes as the definition file writes them.</summary>
    public IReadOnlyList<ByteRange> Ranges()
    {
        var ranges = new List<ByteRange>();
        for (var i = From; i <= To; i++)
        {
            if (Skips(i))
            {
                continue;
            }

            if (ranges.Count > 0 && ranges[^1].To == i - 1)
            {
                ranges[^1] = ranges[^1] with { To = i };
            }
            else
            {
                ranges.Add(new ByteRange(i, i));
            }
        }

        return ranges;
    }
}
