using BusScope.Analysis.Learning.Payloads;
using BusScope.Signals.Definitions;

namespace BusScope.Analysis.Learning.Counters;

/// <summary>
/// Tells an alive counter from the lower end of a number: the bits above a counter belong to somebody else, those of a number turn when its lower
/// end wraps. The minutes above the seconds of a clock do so as well.
/// </summary>
internal static class WiderQuantity
{
    /// <summary>So many of the turns of the bit above must be carries, and so many of the wraps must carry.</summary>
    private const double LeastShare = 0.8;

    /// <summary>How many bits above the counter, in either byte order, carry on from it, one from the other.</summary>
    public static int CarriedBits(PayloadSamples samples, FoundCounter counter)
    {
        var field = counter.Definition.Field;
        if (counter.IsReversed)
        {
            return 0;
        }

        // In one byte both orders are the same, and the byte with the higher digits may be the one before or the one behind.
        var isInOneByte = field.FirstByte == field.LastByte;
        var little = isInOneByte || field.Order == ByteOrder.Little ? Chain(samples, counter, 1) : 0;
        var big = isInOneByte || field.Order == ByteOrder.Big ? Chain(samples, counter, -1) : 0;
        return Math.Max(little, big);
    }

    private static int Chain(PayloadSamples samples, FoundCounter counter, int towards)
    {
        var field = counter.Definition.Field;
        var top = field.MostSignificant;
        var carries = Wraps(samples, counter.Definition);
        var (carried, skipped) = (0, 0);
        for (var at = Above(top, towards, samples.Length); at is { } bit; at = Above(bit, towards, samples.Length))
        {
            var turns = Turns(samples, bit);
            if (Array.TrueForAll(turns, turn => turn == 0))
            {
                // Higher digits of a decimal or a clock begin in the next byte, behind bits that are never used.
                if (carried > 0 || bit.Byte != top.Byte)
                {
                    break;
                }

                skipped++;
                continue;
            }

            if (!IsCarried(turns, carries))
            {
                break;
            }

            carried += 1 + skipped;
            skipped = 0;

            // What carries further is the bit's fall, or its rise where the number goes down.
            carries = [.. turns.Select(turn => turn == -Math.Sign(counter.Definition.Step))];
        }

        return carried;
    }

    private static BitPosition? Above(BitPosition bit, int towards, int length) =>
        bit.Bit < 7 ? new BitPosition(bit.Byte, bit.Bit + 1)
        : bit.Byte + towards >= 0 && bit.Byte + towards < length ? new BitPosition(bit.Byte + towards, 0)
        : null;

    private static bool IsCarried(int[] turns, bool[] carries)
    {
        int all = 0, due = 0, both = 0;
        for (var i = 0; i < turns.Length; i++)
        {
            all += turns[i] != 0 ? 1 : 0;
            due += carries[i] ? 1 : 0;
            both += turns[i] != 0 && carries[i] ? 1 : 0;
        }

        return both > 0 && both >= all * LeastShare && both >= due * LeastShare;
    }

    /// <summary>For each payload, whether the counter came round at it.</summary>
    private static bool[] Wraps(PayloadSamples samples, CounterDefinition counter)
    {
        var wraps = new bool[samples.Count];
        for (var i = 1; i < wraps.Length; i++)
        {
            var grown = FieldReader.Read(samples[i], counter.Field) - FieldReader.Read(samples[i - 1], counter.Field);
            wraps[i] = samples.FollowsPrevious(i) && grown != 0 && Math.Sign(grown) != Math.Sign(counter.Step);
        }

        return wraps;
    }

    /// <summary>For each payload, 1 where the bit rose, −1 where it fell.</summary>
    private static int[] Turns(PayloadSamples samples, BitPosition bit)
    {
        var turns = new int[samples.Count];
        for (var i = 1; i < turns.Length; i++)
        {
            turns[i] = samples.FollowsPrevious(i) ? ((samples[i][bit.Byte] >> bit.Bit) & 1) - ((samples[i - 1][bit.Byte] >> bit.Bit) & 1) : 0;
        }

        return turns;
    }
}
