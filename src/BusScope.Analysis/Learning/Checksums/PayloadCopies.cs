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

    /// <summary>So many of a byte's bits must change, and so often, before a copy of it is worth a word: what rests agrees with anything.</summary>
    private const int FewestChangedBits = 3;
    private const int FewestChanges = 16;

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

    /// <summary>Bytes that are a copy of an earlier one in all payloads.</summary>
    public static IReadOnlyList<ByteCopy> Bytes(PayloadSamples samples)
    {
        var found = new List<ByteCopy>();
        for (var b = 1; b < samples.Length; b++)
        {
            for (var a = 0; a < b && Moves(samples, b); a++)
            {
                var difference = samples[0][a] ^ samples[0][b];
                if (difference is 0 or byte.MaxValue && Enumerable.Range(0, samples.Count).All(i => (samples[i][a] ^ samples[i][b]) == difference))
                {
                    found.Add(new ByteCopy(b, a, difference != 0));
                    break;
                }
            }
        }

        return found;
    }

    private static bool Moves(PayloadSamples samples, int b)
    {
        var (bits, changes) = (0, 0);
        for (var i = 1; i < samples.Count; i++)
        {
            var change = samples[i][b] ^ samples[i - 1][b];
            bits |= change;
            changes += change == 0 ? 0 : 1;
        }

        return BitOperations.PopCount((uint)bits) >= FewestChangedBits && changes >= FewestChanges;
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
