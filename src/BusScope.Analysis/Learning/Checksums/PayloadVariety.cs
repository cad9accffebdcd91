using System.Numerics;
using BusScope.Analysis.Learning.Payloads;

namespace BusScope.Analysis.Learning.Checksums;

/// <summary>
/// How much independent change there is in chosen bytes of sample payloads: the rank over GF(2) of the differences between
/// payloads. A linear checksum is tested once by each independent difference, and no more often by any number of repeats.
/// </summary>
internal static class PayloadVariety
{
    /// <summary>The rank of the differences of equal group, over the covered bits.</summary>
    /// <param name="samples">The payloads.</param>
    /// <param name="covered">Which bits count.</param>
    /// <param name="group">Payloads are compared within the same group only (the counter's value), or all when null.</param>
    /// <param name="enough">Counting stops here.</param>
    public static int Rank(PayloadSamples samples, Coverage covered, Func<int, int>? group, int enough)
    {
        var words = (samples.Length + 7) / 8;
        var basis = new Dictionary<int, ulong[]>();
        var firstOfGroup = new Dictionary<int, int>();
        for (var i = 0; i < samples.Count && basis.Count < enough; i++)
        {
            var key = group?.Invoke(i) ?? 0;
            if (firstOfGroup.TryAdd(key, i))
            {
                continue;
            }

            Add(basis, Difference(samples[i], samples[firstOfGroup[key]], covered, words));
        }

        return basis.Count;
    }

    private static ulong[] Difference(ReadOnlySpan<byte> a, ReadOnlySpan<byte> b, Coverage covered, int words)
    {
        var difference = new ulong[words];
        for (var i = covered.From; i <= covered.To; i++)
        {
            difference[i / 8] |= (ulong)((a[i] ^ b[i]) & covered.Mask(i)) << (8 * (i % 8));
        }

        return difference;
    }

    /// <summary>Gaussian elimination: each basis vector is kept under its highest bit.</summary>
    private static void Add(Dictionary<int, ulong[]> basis, ulong[] vector)
    {
        for (var word = vector.Length - 1; word >= 0; word--)
        {
            while (vector[word] != 0)
            {
                var top = (word * 64) + BitOperations.Log2(vector[word]);
                if (!basis.TryGetValue(top, out var known))
                {
                    basis.Add(top, vector);
                    return;
                }

                for (var i = 0; i <= word; i++)
                {
                    vector[i] ^= known[i];
                }
            }
        }
    }
}
