using System.Numerics;
using BusScope.Analysis.Learning.Payloads;

namespace BusScope.Analysis.Learning.Checksums;

/// <summary>
/// Solves for the polynomial of a cyclic redundancy check instead of guessing it. The difference of two protected payloads, with
/// the difference of their checksums behind it, is a multiple of the generator polynomial over GF(2): constants, start and final
/// value have cancelled. The greatest common divisor of a few such differences is the generator itself.
/// </summary>
internal static class GeneratorPolynomial
{
    private const int Differences = 24;
    private const int Attempts = 3;

    /// <summary>The generator without its highest term, or null where the payloads have none of this width.</summary>
    /// <param name="samples">The payloads.</param>
    /// <param name="coverage">What is covered, and where the checksum stands.</param>
    /// <param name="reflected">Whether bits run least significant first.</param>
    /// <param name="tail">Hidden bytes behind the covered ones.</param>
    /// <param name="group">Only payloads of the same group are compared; null for all.</param>
    public static int? Find(PayloadSamples samples, Coverage coverage, bool reflected, int tail, Func<int, int>? group)
    {
        // A damaged frame spoils one attempt, so other parts of the capture get their turn.
        for (var attempt = 0; attempt < Attempts; attempt++)
        {
            if (Solve(samples, coverage, reflected, tail, group, attempt * samples.Count / Attempts) is { } polynomial)
            {
                return polynomial;
            }
        }

        return null;
    }

    private static int? Solve(PayloadSamples samples, Coverage coverage, bool reflected, int tail, Func<int, int>? group, int from)
    {
        var width = coverage.Check.Length;
        ulong[]? divisor = null;
        var taken = 0;
        var firstOfGroup = new Dictionary<int, int>();
        for (var i = from; i < samples.Count && taken < Differences; i++)
        {
            var key = group?.Invoke(i) ?? 0;
            if (firstOfGroup.TryAdd(key, i))
            {
                continue;
            }

            var difference = Difference(samples, firstOfGroup[key], i, coverage, reflected, tail);
            if (Degree(difference) < 0)
            {
                continue;
            }

            divisor = divisor is null ? difference : GreatestCommonDivisor(divisor, difference);
            taken++;
            if (Degree(divisor) < width)
            {
                return null;
            }
        }

        // A higher degree means too little variety; without a constant term the field does not depend on the last bits at all.
        return divisor is not null && Degree(divisor) == width && (divisor[0] & 1) == 1 ? (int)(divisor[0] & ((1UL << width) - 1)) : null;
    }

    /// <summary>The difference as a polynomial: covered bytes first (highest), hidden bytes as zeros, then the checksum.</summary>
    private static ulong[] Difference(PayloadSamples samples, int a, int b, Coverage coverage, bool reflected, int tail)
    {
        var width = coverage.Check.Length;
        var bits = (8 * (coverage.To - coverage.From + 1 + tail)) + width;
        var polynomial = new ulong[(bits + 63) / 64];
        var at = bits;
        for (var i = coverage.From; i <= coverage.To; i++)
        {
            if (!coverage.Skips(i))
            {
                at -= 8;
                var value = samples[a][i] ^ samples[b][i];
                Place(polynomial, at, reflected ? Reverse(value, 8) : value);
            }
        }

        // What was skipped leaves the covered bytes too high by as much: move the rest down by taking the checksum up to them.
        var check = FieldReader.Read(samples[a], coverage.Check) ^ FieldReader.Read(samples[b], coverage.Check);
        Place(polynomial, at - (8 * tail) - width, reflected ? Reverse(check, width) : check);
        return ShiftDown(polynomial, at - (8 * tail) - width);
    }

    private static void Place(ulong[] polynomial, int at, int value)
    {
        for (var bit = 0; value >> bit != 0; bit++)
        {
            if (((value >> bit) & 1) != 0)
            {
                polynomial[(at + bit) / 64] ^= 1UL << ((at + bit) % 64);
            }
        }
    }

    private static ulong[] ShiftDown(ulong[] polynomial, int by)
    {
        for (var i = 0; i < by; i++)
        {
            for (var word = 0; word < polynomial.Length; word++)
            {
                polynomial[word] = (polynomial[word] >> 1) | (word + 1 < polynomial.Length ? polynomial[word + 1] << 63 : 0);
            }
        }

        return polynomial;
    }

    private static ulong[] GreatestCommonDivisor(ulong[] a, ulong[] b)
    {
        // Euclid's algorithm; both are consumed.
        while (Degree(b) >= 0)
        {
            var degree = Degree(b);
            for (var over = Degree(a) - degree; over >= 0; over = Degree(a) - degree)
            {
                SubtractShifted(a, b, over);
            }

            (a, b) = (b, a);
        }

        return a;
    }

    private static void SubtractShifted(ulong[] a, ulong[] b, int by)
    {
        var words = by / 64;
        var bits = by % 64;
        for (var i = a.Length - 1; i >= words; i--)
        {
            var low = i - words < b.Length ? b[i - words] << bits : 0;
            var carried = bits > 0 && i - words - 1 >= 0 && i - words - 1 < b.Length ? b[i - words - 1] >> (64 - bits) : 0;
            a[i] ^= low | carried;
        }
    }

    private static int Degree(ulong[] polynomial)
    {
        for (var word = polynomial.Length - 1; word >= 0; word--)
        {
            if (polynomial[word] != 0)
            {
                return (word * 64) + BitOperations.Log2(polynomial[word]);
            }
        }

        return -1;
    }

    private static int Reverse(int value, int width)
    {
        var result = 0;
        for (var bit = 0; bit < width; bit++)
        {
            result |= ((value >> bit) & 1) << (width - 1 - bit);
        }

        return result;
    }
}
