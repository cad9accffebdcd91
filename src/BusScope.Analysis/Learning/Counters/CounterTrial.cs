using BusScope.Analysis.Learning.Payloads;
using BusScope.Signals.Definitions;

namespace BusScope.Analysis.Learning.Counters;

/// <summary>A field that may be a counter, read from sample payloads as it stands or with its bits in reverse.</summary>
internal sealed class CounterTrial(PayloadSamples samples, BitField field, bool isReversed)
{
    /// <summary>Lost frames break the count; more than one pair in twenty, and it must be seen that it was they.</summary>
    private const double LeastShare = 0.95;

    /// <summary>With lost frames: so many pairs count on, and so many of the others went on by a few steps.</summary>
    private const double LeastShareWithLosses = 0.7;
    private const double LeastLossShare = 0.8;
    private const int MostLost = 3;

    /// <summary>A bit on top that does not turn with the carry belongs to somebody else, however seldom it turns.</summary>
    private const double LeastTurnShare = 0.8;

    /// <summary>From one run to the next it may be ahead by a sixteenth of its round at most: more would say nothing of the top bit.</summary>
    private const int LargestLeapError = 16;
    private const int LeapLossFactor = 4;
    private const int FewestTurns = 2;

    private const int LeastPairs = 24;
    private const int FirstLook = 128;

    private readonly int mask = (1 << field.Length) - 1;

    /// <summary>A quick look at the first frames: the value moves almost always, and often by the same step.</summary>
    public bool LooksLikeCounting()
    {
        var end = Math.Min(samples.Count, FirstLook);
        int pairs = 0, still = 0, asBefore = 0, step = 0;
        for (var i = 1; i < end; i++)
        {
            if (!samples.FollowsPrevious(i))
            {
                continue;
            }

            var delta = (Value(i) - Value(i - 1)) & mask;
            pairs++;
            still += delta == 0 ? 1 : 0;
            asBefore += delta == step ? 1 : 0;
            step = delta;
        }

        return pairs >= LeastPairs && still * 20 <= pairs && asBefore * 5 >= pairs;
    }

    /// <summary>The counter that it is, or null.</summary>
    public FoundCounter? Judge()
    {
        var deltas = new int[mask + 1];
        var seen = new bool[mask + 1];
        int pairs = 0, largest = 0, topChanges = 0, previousTop = -1;
        for (var i = 0; i < samples.Count; i++)
        {
            var value = Value(i);
            seen[value] = true;
            largest = Math.Max(largest, value);
            var top = value >> (field.Length - 1);
            topChanges += previousTop >= 0 && top != previousTop ? 1 : 0;
            previousTop = top;
            if (i > 0 && samples.FollowsPrevious(i))
            {
                pairs++;
                deltas[(value - Value(i - 1)) & mask]++;
            }
        }

        var step = 0;
        for (var d = 1; d <= mask; d++)
        {
            step = deltas[d] > deltas[step] || step == 0 ? d : step;
        }

        // The top bit must have come and gone, or the field is wider than what was seen to count.
        if (topChanges < FewestTurns)
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
                var counter = Follow(new CounterDefinition(field) { Step = signed, Modulo = modulo }, pairs);
                if (counter is not null && IsCredible(counter) && Covers(seen, counter) && (best is null || counter.Matches > best.Matches))
                {
                    best = counter;
                }
            }
        }

        return best;
    }

    private int Value(int index)
    {
        var value = FieldReader.Read(samples[index], field);
        if (!isReversed)
        {
            return value;
        }

        var reversed = 0;
        for (var bit = 0; bit < field.Length; bit++)
        {
            reversed = (reversed << 1) | ((value >> bit) & 1);
        }

        return reversed;
    }

    /// <summary>Follows the trial counter through the samples; null where its top bit moves by a will of its own.</summary>
    private FoundCounter? Follow(CounterDefinition counter, int pairs)
    {
        int matches = 0, losses = 0, turns = 0, rightTurns = 0;
        var top = field.Length - 1;
        for (var i = 1; i < samples.Count; i++)
        {
            if (!samples.FollowsPrevious(i))
            {
                continue;
            }

            var before = Value(i - 1);
            var now = Value(i);
            var due = On(before, counter, 1);
            matches += due == now ? 1 : 0;
            var lost = 0;
            for (var steps = 2; due != now && lost == 0 && steps <= 1 + MostLost; steps++)
            {
                lost = On(before, counter, steps) == now ? 1 : 0;
            }

            losses += lost;
            if (lost == 0 && (((before ^ due) >> top) != 0 || ((before ^ now) >> top) != 0))
            {
                turns++;
                rightTurns += due == now ? 1 : 0;
            }
        }

        return rightTurns >= turns * LeastTurnShare ? new FoundCounter(counter, matches, pairs) { Losses = losses, IsReversed = isReversed } : null;
    }

    private static int On(int value, CounterDefinition counter, long steps) => Around(value + (counter.Step * steps), counter.Modulo);

    private static int Around(long value, int modulo) => (int)(value % modulo) is var rest && rest < 0 ? rest + modulo : rest;

    private static bool IsCredible(FoundCounter counter) => counter.Share >= LeastShare
        || (counter.Share >= LeastShareWithLosses && counter.Definition.Modulo > 2 * (1 + MostLost) && counter.Losses >= LeastLossShare * (counter.Pairs - counter.Matches));

    /// <summary>Whether the counter's whole round was seen, but for lost frames: every value of it among the payloads kept, or, of a round too long for that, its turns.</summary>
    private bool Covers(bool[] seen, FoundCounter counter)
    {
        // An even step through a full range leaves the lowest bit to somebody else: the counter begins further up.
        var modulo = counter.Definition.Modulo;
        var round = modulo / Gcd(Math.Abs(counter.Definition.Step), modulo);
        if (modulo == seen.Length && round < modulo)
        {
            return false;
        }

        var met = 0;
        for (var v = 0; v < modulo; v++)
        {
            met += seen[v] ? 1 : 0;
        }

        // An odd modulo is believed only when nothing was seen beyond its round, and it went round from one frame to the next more than once: once does
        // whatever begins anew, as a clock with the next capture.
        var wentAcross = samples.Seen >= round && samples.Seen > samples.Count && CountsAcross(counter);
        return round >= 3 && (modulo == seen.Length
            ? (met >= round - counter.Losses && counter.Pairs >= round - 1) || wentAcross
            : round > seen.Length / 2 && (met == round || wentAcross) && RoundsSeen(counter) >= FewestTurns);
    }

    // How often it went from the end of its round to the beginning, from one frame to the next.
    private int RoundsSeen(FoundCounter counter)
    {
        var rounds = 0;
        for (var i = 1; i < samples.Count; i++)
        {
            rounds += samples.FollowsPrevious(i) && On(Value(i - 1), counter.Definition, 1) == Value(i) && (Value(i) < Value(i - 1)) == (counter.Definition.Step > 0) ? 1 : 0;
        }

        return rounds;
    }

    /// <summary>
    /// Whether it also went on by as many steps as there were frames from the end of each kept run to the beginning of the next, and the top bit with it.
    /// Runs and leaps together are the whole capture, so a round of which only parts are kept shows in them.
    /// </summary>
    private bool CountsAcross(FoundCounter counter)
    {
        int leaps = 0, rightLeaps = 0, turns = 0, rightTurns = 0;
        var (modulo, step, top) = (counter.Definition.Modulo, counter.Definition.Step, field.Length - 1);
        for (var i = 1; i < samples.Count; i++)
        {
            var frames = samples.NumberOf(i) - samples.NumberOf(i - 1);
            var (before, now) = (Value(i - 1), Value(i));
            var due = On(before, counter.Definition, frames);

            // Lost frames put it ahead: over a leap by a few more than within the runs.
            var ahead = Around((now - due) * Math.Sign(step), modulo);
            var lost = Math.Min(MostLost + (LeapLossFactor * frames * counter.Losses / counter.Pairs), modulo / LargestLeapError);
            var isRight = ahead <= lost * Math.Abs(step);
            leaps += frames > 1 ? 1 : 0;
            rightLeaps += frames > 1 && isRight ? 1 : 0;
            if (((before ^ due) >> top) != 0 || ((before ^ now) >> top) != 0)
            {
                turns++;
                rightTurns += isRight ? 1 : 0;
            }
        }

        return turns >= FewestTurns && rightLeaps >= leaps * LeastTurnShare && rightTurns >= turns * LeastTurnShare;
    }

    private static int Gcd(int a, int b) => b == 0 ? a : Gcd(b, a % b);
}
