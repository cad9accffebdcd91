using System.Numerics;
using BusScope.Analysis.Learning.Payloads;
using BusScope.Signals.Definitions;

namespace BusScope.Analysis.Learning.Checksums;

/// <summary>A byte that repeats another, as it is or with all bits inverted.</summary>
/// <param name="Byte">The later one.</param>
/// <param name="Of">The earlier one.</param>
/// <param name="IsInverted">Whether its bits are inverted.</param>
public readonly record struct ByteCopy(int Byte, int Of, bool IsInverted);

/// <summary>
/// Which halves of bytes repeat others: the second track of a sensor is often the first one over again. Any exclusive or, and some sums, hold over
/// copies, and none of them is a checksum.
/// </summary>
internal sealed class PayloadCopies(PayloadSamples samples)
{
    private const int HalfValues = 16;

    /// <summary>So many of a byte's bits must change before a copy of it is worth a word.</summary>
    private const int FewestChangedBits = 3;
    private const double LeastShare = 0.99;

    private readonly Dictionary<int, int> missesOfHalf = [];

    /// <summary>In how many payloads at the least the field is no copy of other bits; a constant half is none.</summary>
    public int Misses(BitField field)
    {
        var misses = 0;

        // Halves of bytes are numbered along the payload, the low one first; a field that may be a checksum is made of whole ones.
        var first = (2 * field.FirstByte) + (field.Length == 4 ? field.Start.Bit / 4 : 0);
        for (var half = first; half < first + (field.Length / 4); half++)
        {
            misses = Math.Max(misses, missesOfHalf.TryGetValue(half, out var known) ? known : missesOfHalf[half] = MissesOfHalf(half));
        }

        return misses;
    }

    /// <summary>Bytes that are a copy of an earlier one.</summary>
    public static IReadOnlyList<ByteCopy> Bytes(PayloadSamples samples)
    {
        var found = new List<ByteCopy>();
        for (var b = 1; b < samples.Length; b++)
        {
            var changed = Enumerable.Range(0, samples.Count).Aggregate(0, (bits, i) => bits | (samples[i][b] ^ samples[0][b]));
            for (var a = 0; a < b && BitOperations.PopCount((uint)changed) >= FewestChangedBits; a++)
            {
                var (same, inverted) = (0, 0);
                for (var i = 0; i < samples.Count; i++)
                {
                    var difference = samples[i][a] ^ samples[i][b];
                    same += difference == 0 ? 1 : 0;
                    inverted += difference == 0xFF ? 1 : 0;
                }

                if (Math.Max(same, inverted) >= samples.Count * LeastShare)
                {
                    found.Add(new ByteCopy(b, a, inverted > same));
                    break;
                }
            }
        }

        return found;
    }

    private int MissesOfHalf(int half)
    {
        var own = new int[HalfValues];
        for (var i = 0; i < samples.Count; i++)
        {
            own[Read(samples[i], half)]++;
        }

        // A half that never changes says nothing either way.
        if (own.Max() == samples.Count)
        {
            return 0;
        }

        var least = samples.Count;
        for (var other = 0; other < samples.Length * 2; other++)
        {
            if (other != half)
            {
                var differences = new int[HalfValues];
                for (var i = 0; i < samples.Count; i++)
                {
                    differences[Read(samples[i], half) ^ Read(samples[i], other)]++;
                }

                least = Math.Min(least, samples.Count - differences.Max());
            }
        }

        return least;
    }

    private static int Read(ReadOnlySpan<byte> payload, int half) => (payload[half / 2] >> (4 * (half % 2))) & 15;
}
