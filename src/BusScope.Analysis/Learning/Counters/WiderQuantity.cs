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
        var top = counter.Definition.Field.MostSignificant;
        var (carried, skipped) = (0, 0);
        var digits = new Digits(samples, counter.Definition);
        for (var at = Above(top, towards, samples.Length); at is { } bit; at = Above(bit, towards, samples.Length))
        {
            var turns = Turns(samples, bit);
            if (Array.TrueForAll(turns, turn => !turn))
            {
                // Higher digits of a decimal or a clock begin in the next byte, behind bits that are never used.
                if (carried > 0 || bit.Byte != top.Byte)
                {
                    break;
                }

                skipped++;
                continue;
            }

            if (!IsCarried(turns, digits.Carries()))
            {
                break;
            }

            carried += 1 + skipped;
            skipped = 0;
            digits.Append(bit);
        }

        return carried;
    }

    private static BitPosition? Above(BitPosition bit, int towards, int length) =>
        bit.Bit < 7 ? new BitPosition(bit.Byte, bit.Bit + 1)
        : bit.Byte + towards >= 0 && bit.Byte + towards < length ? new BitPosition(bit.Byte + towards, 0)
        : null;

    private static bool IsCarried(bool[] turns, bool[] carries)
    {
        int all = 0, due = 0, both = 0;
        for (var i = 0; i < turns.Length; i++)
        {
            all += turns[i] ? 1 : 0;
            due += carries[i] ? 1 : 0;
            both += turns[i] && carries[i] ? 1 : 0;
        }

        return both > 0 && both >= all * LeastShare && both >= due * LeastShare;
    }

    /// <summary>For each payload, whether the bit is another than in the one before.</summary>
    private static bool[] Turns(PayloadSamples samples, BitPosition bit)
    {
        var turns = new bool[samples.Count];
        for (var i = 1; i < turns.Length; i++)
        {
            turns[i] = (((samples[i][bit.Byte] ^ samples[i - 1][bit.Byte]) >> bit.Bit) & 1) != 0;
        }

        return turns;
    }

    /// <summary>The lower digits of the number: the counter, and the bits above it that were found to carry on from it.</summary>
    private sealed class Digits
    {
        private readonly PayloadSamples samples;
        private readonly long[] values;
        private readonly int step;
        private long round;

        public Digits(PayloadSamples samples, CounterDefinition counter)
        {
            this.samples = samples;
            (step, round) = (counter.Step, counter.Modulo);
            values = new long[samples.Count];
            for (var i = 0; i < values.Length; i++)
            {
                values[i] = FieldReader.Read(samples[i], counter.Field);
            }
        }

        /// <summary>Another bit on top.</summary>
        public void Append(BitPosition bit)
        {
            for (var i = 0; i < values.Length; i++)
            {
                values[i] += ((samples[i][bit.Byte] >> bit.Bit) & 1) * round;
            }

            round *= 2;
        }

        /// <summary>
        /// For each payload, whether the digits came round an odd number of times since the one before, which turns the bit above them. Where payloads were
        /// passed over they went on unseen, by one step for each.
        /// </summary>
        public bool[] Carries()
        {
            var carries = new bool[values.Length];
            for (var i = 1; i < carries.Length; i++)
            {
                var gone = values[i - 1] + (step * (samples.NumberOf(i) - samples.NumberOf(i - 1))) - values[i];
                carries[i] = ((long)Math.Round(gone / (double)round) & 1) != 0;
            }

            return carries;
        }
    }
}
