using BusScope.Analysis.Learning.Payloads;
using BusScope.Signals.Definitions;

namespace BusScope.Analysis.Learning.Counters;

/// <summary>An alive counter that was found.</summary>
/// <param name="Definition">Position, step and modulo.</param>
/// <param name="Matches">Pairs of consecutive frames that count on rightly.</param>
/// <param name="Pairs">Pairs looked at.</param>
public sealed record FoundCounter(CounterDefinition Definition, int Matches, int Pairs)
{
    /// <summary>The part of the pairs that counts on rightly.</summary>
    public double Share => Pairs == 0 ? 0 : Matches / (double)Pairs;

    /// <summary>Whether the bits stand in reverse: the least significant one where others have the most significant.</summary>
    public bool IsReversed { get; init; }

    /// <summary>Whether breaks are so seldom that a check of the same capture would find none (docs/health.md).</summary>
    public bool Holds => !IsReversed && (Pairs - Matches < FewestBreaks || Pairs - Matches <= Pairs * LargestBreakShare);

    private const int FewestBreaks = 3;
    private const double LargestBreakShare = 0.005;
}

/// <summary>
/// Finds alive counters by computation: a field of 2 to 16 bits, anywhere, in either byte order, that grows by one step from
/// frame to frame, modulo its range or less. The widest such field is the counter; its lower bits alone count too, but less far.
/// </summary>
public static class CounterFinder
{
    private const int Widest = 16;

    /// <summary>Lost frames break the count; more than one pair in twenty, and it is no counter.</summary>
    private const double LeastShare = 0.95;

    /// <summary>A bit on top that does not turn with the carry belongs to somebody else, however seldom it turns.</summary>
    private const double LeastTurnShare = 0.8;

    private const int LeastPairs = 24;
    private const int FirstLook = 128;

    /// <summary>All counters of the payload that do not overlap, the widest first: a second one is a copy, a complement or a mirror.</summary>
    public static IReadOnlyList<FoundCounter> Find(PayloadSamples samples)
    {
        var candidates = new List<FoundCounter>();
        foreach (var field in Fields(samples.Length))
        {
            if (LooksLikeCounting(samples, field) && Judge(samples, field) is { } counter)
            {
                candidates.Add(counter);
            }
        }

        candidates.Sort((a, b) =>
        {
            var byWidth = b.Definition.Field.Length.CompareTo(a.Definition.Field.Length);
            return byWidth != 0 ? byWidth : b.Matches.CompareTo(a.Matches);
        });
        var chosen = new List<FoundCounter>();
        foreach (var candidate in candidates)
        {
            if (chosen.TrueForAll(c => !c.Definition.Field.Overlaps(candidate.Definition.Field)))
            {
                chosen.Add(candidate);
            }
        }

        return chosen;
    }

    private static IEnumerable<BitField> Fields(int bytes)
    {
        for (var start = 0; start < bytes * 8; start++)
        {
            var position = new BitPosition(start / 8, start % 8);
            for (var length = 2; length <= Widest; length++)
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

    /// <summary>A quick look at the first frames: the value moves almost always, and mostly by the same step.</summary>
    private static bool LooksLikeCounting(PayloadSamples samples, BitField field)
    {
        var end = Math.Min(samples.Count, FirstLook);
        int pairs = 0, still = 0, asBefore = 0, step = 0;
        var mask = (1 << field.Length) - 1;
        for (var i = 1; i < end; i++)
        {
            if (!samples.FollowsPrevious(i))
            {
                continue;
            }

            var delta = (FieldReader.Read(samples[i], field) - FieldReader.Read(samples[i - 1], field)) & mask;
            pairs++;
            still += delta == 0 ? 1 : 0;
            asBefore += delta == step ? 1 : 0;
            step = delta;
        }

        return pairs >= LeastPairs && still * 20 <= pairs && asBefore * 5 >= pairs;
    }

    private static FoundCounter? Judge(PayloadSamples samples, BitField field)
    {
        var mask = (1 << field.Length) - 1;
        var deltas = new int[mask + 1];
        int pairs = 0, largest = 0, topChanges = 0, previousTop = -1;
        var seen = new bool[mask + 1];
        for (var i = 0; i < samples.Count; i++)
        {
            var value = FieldReader.Read(samples[i], field);
            seen[value] = true;
            largest = Math.Max(largest, value);
            var top = value >> (field.Length - 1);
            topChanges += previousTop >= 0 && top != previousTop ? 1 : 0;
            previousTop = top;
            if (i > 0 && samples.FollowsPrevious(i))
            {
                pairs++;
                deltas[(value - FieldReader.Read(samples[i - 1], field)) & mask]++;
            }
        }

        var step = 0;
        for (var d = 1; d <= mask; d++)
        {
            step = deltas[d] > deltas[step] || step == 0 ? d : step;
        }

        // The top bit must have come and gone, or the field is wider than what was seen to count.
        if (topChanges < 2)
        {
            return null;
        }

        FoundCounter? best = null;
        foreach (var modulo in (ReadOnlySpan<int>)[mask + 1, largest + 1])
        {
            // Of two forms that fit alike, the shorter step reads better: down by one, not up by fifteen.
            var shorter = step <= (mask + 1) / 2 ? step : step - (mask + 1);
            foreach (var signed in (ReadOnlySpan<int>)[shorter, shorter > 0 ? step - (mask + 1) : step])
            {
                var counter = Try(samples, new CounterDefinition(field) { Step = signed, Modulo = modulo }, pairs);
                if (counter is { Share: >= LeastShare } && Covers(seen, signed, modulo) && (best is null || counter.Matches > best.Matches))
                {
                    best = counter;
                }
            }
        }

        return best;
    }

    /// <summary>Follows the trial counter through the samples; null where its top bit moves by a will of its own.</summary>
    private static FoundCounter? Try(PayloadSamples samples, CounterDefinition counter, int pairs)
    {
        int matches = 0, turns = 0, rightTurns = 0;
        var top = counter.Field.Length - 1;
        for (var i = 1; i < samples.Count; i++)
        {
            if (!samples.FollowsPrevious(i))
            {
                continue;
            }

            var before = FieldReader.Read(samples[i - 1], counter.Field);
            var now = FieldReader.Read(samples[i], counter.Field);
            var due = (before + counter.Step) % counter.Modulo;
            due += due < 0 ? counter.Modulo : 0;
            matches += due == now ? 1 : 0;
            if (((before ^ due) >> top) != 0 || ((before ^ now) >> top) != 0)
            {
                turns++;
                rightTurns += due == now ? 1 : 0;
            }
        }

        return rightTurns >= turns * LeastTurnShare ? new FoundCounter(counter, matches, pairs) : null;
    }

    /// <summary>Whether the values seen are the counter's whole round, or enough of a long one.</summary>
    private static bool Covers(bool[] seen, int step, int modulo)
    {
        // An even step through a full range leaves the lowest bit to somebody else: the counter begins further up.
        var round = modulo / Gcd(Math.Abs(step), modulo);
        if (modulo == seen.Length && round < modulo)
        {
            return false;
        }

        var met = 0;
        for (var v = 0; v < modulo; v++)
        {
            met += seen[v] ? 1 : 0;
        }

        // A full range may be long; an odd modulo is believed only when its whole round was seen, and nothing beyond it.
        return round >= 3 && (modulo == seen.Length ? met >= Math.Min(round, 200) : met == round && round > seen.Length / 2);
    }

    private static int Gcd(int a, int b) => b == 0 ? a : Gcd(b, a % b);
}
