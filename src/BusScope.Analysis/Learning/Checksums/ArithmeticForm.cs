using BusScope.Signals.Definitions;

namespace BusScope.Analysis.Learning.Checksums;

/// <summary>Sums and exclusive ors of bytes or of four-bit halves, also complemented.</summary>
internal sealed class ArithmeticForm : ChecksumForm
{
    private readonly ChecksumFamily family;
    private readonly bool isNegative;

    private ArithmeticForm(int width, ChecksumFamily family, bool isNegative = false)
    {
        Width = width;
        this.family = family;
        this.isNegative = isNegative;
    }

    /// <inheritdoc/>
    public override double HypothesisBits => 3;

    /// <inheritdoc/>
    public override int Bonus(int residual) => residual == 0 ? Width : 0;

    private int FieldMask => (1 << Width) - 1;

    /// <summary>All forms for a field of this many bits.</summary>
    public static IEnumerable<ArithmeticForm> All(int width)
    {
        yield return new ArithmeticForm(width, ChecksumFamily.NibbleSum);
        yield return new ArithmeticForm(width, ChecksumFamily.NibbleSum, isNegative: true);
        if (width == 4)
        {
            yield return new ArithmeticForm(width, ChecksumFamily.NibbleXor);
        }
        else
        {
            yield return new ArithmeticForm(width, ChecksumFamily.Sum);
            yield return new ArithmeticForm(width, ChecksumFamily.Sum, isNegative: true);
        }

        if (width == 8)
        {
            yield return new ArithmeticForm(width, ChecksumFamily.Xor);
        }
    }

    /// <inheritdoc/>
    public override int Residual(ReadOnlySpan<byte> payload, Coverage coverage, int check)
    {
        var total = 0;
        for (var i = coverage.From; i <= coverage.To; i++)
        {
            var value = payload[i] & coverage.Mask(i);
            total = family switch
            {
                ChecksumFamily.Sum => total + value,
                ChecksumFamily.Xor => total ^ value,
                ChecksumFamily.NibbleSum => total + (value & 15) + (value >> 4),
                _ => total ^ (value & 15) ^ (value >> 4),
            };
        }

        return (family is ChecksumFamily.Xor or ChecksumFamily.NibbleXor ? check ^ total : isNegative ? check + total : check - total) & FieldMask;
    }

    /// <inheritdoc/>
    public override ChecksumDefinition Define(Coverage coverage, int residual)
    {
        var constant = (ulong)residual;
        var isXor = family is ChecksumFamily.Xor or ChecksumFamily.NibbleXor;

        // check = constant − sum = final xor (start + sum) with final all ones, since −s − 1 is the complement of s:
        // constant − s = ~(s − constant − 1), so start = −constant − 1.
        return new ChecksumDefinition(family, coverage.Check)
        {
            Over = coverage.Ranges(),
            Start = isXor ? 0 : isNegative ? (ulong)((-residual - 1) & FieldMask) : constant,
            Final = isXor ? constant : isNegative ? (ulong)FieldMask : 0,
        };
    }
}
