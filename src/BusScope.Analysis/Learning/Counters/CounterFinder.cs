using BusScope.Analysis.Learning.Payloads;
using BusScope.Signals.Definitions;

namespace BusScope.Analysis.Learning.Counters;

/// <summary>
/// Finds alive counters by computation: a field of 2 to 16 bits, anywhere, in either byte order, that grows by one step from
/// frame to frame, modulo its range or less. The widest such field is the counter; its lower bits alone count too, but less far.
/// A field wider than a byte comes first only if it counts by one.
/// </summary>
public static class CounterFinder
{
    private const int Narrowest = 2;
    private const int Widest = 16;

    /// <summary>Wider fields with a step of their own are two things that move together more often than a counter: bytes that count side by side.</summary>
    private const int WidestOddStep = 8;

    // Two bits in reverse that count are two bits that toggle, which happens.
    private const int NarrowestReversed = 3;

    /// <summary>
    /// All counters of the payload that do not overlap, those without breaks first, then the widest, those in reverse last: a second one is a copy, a complement or a mirror.
    /// </summary>
    public static IReadOnlyList<FoundCounter> Find(PayloadSamples samples)
    {
        ArgumentNullException.ThrowIfNull(samples);
        var candidates = new List<FoundCounter>();
        foreach (var field in Fields(samples.Length))
        {
            Try(new CounterTrial(samples, field, isReversed: false), candidates);
            if (field.Length >= NarrowestReversed)
            {
                Try(new CounterTrial(samples, field, isReversed: true), candidates);
            }
        }

        var chosen = new List<FoundCounter>();
        foreach (var candidate in candidates.OrderBy(counter => counter.IsReversed).ThenByDescending(counter => counter.Holds).ThenBy(IsOddAndWide).ThenByDescending(counter => counter.Definition.Field.Length).ThenByDescending(counter => counter.Matches))
        {
            if (chosen.TrueForAll(counter => !counter.Definition.Field.Overlaps(candidate.Definition.Field)))
            {
                chosen.Add(candidate with { CarriedBits = WiderQuantity.CarriedBits(samples, candidate) });
            }
        }

        return chosen;
    }

    private static bool IsOddAndWide(FoundCounter counter) => counter.Definition.Field.Length > WidestOddStep && !counter.CountsByOne;

    private static void Try(CounterTrial trial, List<FoundCounter> candidates)
    {
        if (trial.LooksLikeCounting() && trial.Judge() is { } counter)
        {
            candidates.Add(counter);
        }
    }

    private static IEnumerable<BitField> Fields(int bytes)
    {
        for (var start = 0; start < bytes * 8; start++)
        {
            var position = new BitPosition(start / 8, start % 8);
            for (var length = Narrowest; length <= Widest; length++)
            {
                var little = new BitField(position, length, ByteOrder.Little);
                if (little.LastByte < bytes)
                {
                    yield return little;
                }

                // Inside one byte both orders are the same field.
                var big = new BitField(position, length, ByteOrder.Big);
                if (big.LastByte < bytes && big.LastByte > big.FirstByte)
                {
                    yield return big;
                }
            }
        }
    }
}
