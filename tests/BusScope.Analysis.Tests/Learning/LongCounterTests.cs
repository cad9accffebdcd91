using BusScope.Analysis.Learning.Counters;
using BusScope.Signals.Definitions;
using CsCheck;
using Xunit;

namespace BusScope.Analysis.Tests.Learning;

/// <summary>A long recording says no less of a counter than a short one, although only runs of its payloads are kept.</summary>
public class LongCounterTests
{
    private const int Bytes = 6;

    // Every width, position and first value, for half a minute to ten minutes at 10 ms.
    private static readonly Gen<(BitField Field, int First, int Step, int Frames, int Seed)> recordings =
        from length in Gen.Int[2, 16]
        from order in Gen.Bool.Select(big => big ? ByteOrder.Big : ByteOrder.Little)
        from start in Gen.Int[0, 47]
        from first in Gen.Int[0, ushort.MaxValue]
        from down in Gen.Bool
        from frames in Gen.Int[3_000, 60_000]
        from seed in Gen.Int
        let field = new BitField(new BitPosition(start / 8, start % 8), length, order)
        where field.LastByte < Bytes
        select (field, first, down ? -1 : 1, frames, seed);

    [Fact]
    public void A_counter_of_2_to_16_bits_is_found_in_a_recording_of_any_length_that_has_its_round_twice() =>
        recordings.Where(each => each.Frames >= 2 << each.Field.Length).Sample(
            (field, first, step, frames, seed) =>
            {
                var counter = Assert.Single(Found(field, frames, seed, i => first + (step * i)));

                Assert.Equal(LearnedPayloads.Bits(field), LearnedPayloads.Bits(counter.Definition.Field));
                Assert.Equal((1 << field.Length, step), (counter.Definition.Modulo, counter.Definition.Step));
                Assert.Equal((counter.Pairs, 0), (counter.Matches, counter.CarriedBits));
            },
            iter: 30);

    [Fact]
    public void Of_a_counter_whose_round_was_not_seen_whole_the_lower_bits_are_found_and_not_demanded() =>
        recordings.Where(each => each.Frames < 1 << each.Field.Length).Sample(
            (field, first, step, frames, seed) =>
            {
                var counter = Assert.Single(Found(field, frames, seed, i => first + (step * i)));

                Assert.Equal(field.LeastSignificant, counter.Definition.Field.LeastSignificant);
                Assert.True(counter.Definition.Field.Length < field.Length);
                Assert.True(counter.CarriedBits > 0);
                Assert.False(counter.IsDemanded);
            },
            iter: 15);

    [Theory]
    [InlineData(7, 100)]
    [InlineData(10, 300)]
    [InlineData(12, 1000)]
    public void A_counter_is_found_in_a_long_recording_although_frames_were_lost(int length, int lostOneOf)
    {
        var field = new BitField(new BitPosition(2, 3), length, ByteOrder.Little);
        var random = new Random(length);
        var sent = 0;

        var counter = Assert.Single(Found(field, 60_000, seed: 1, _ => sent += random.Next(lostOneOf) == 0 ? 2 : 1));

        Assert.Equal((field, 0), (counter.Definition.Field, counter.CarriedBits));
    }

    [Theory]
    [InlineData(1000)]
    [InlineData(60)]
    public void A_counter_that_turns_before_its_range_is_full_is_found_in_a_long_recording_with_its_modulo(int modulo)
    {
        var field = new BitField(new BitPosition(1, 0), modulo == 60 ? 6 : 10, ByteOrder.Little);

        var counter = Assert.Single(Found(field, 60_000, seed: 2, i => i % modulo));

        Assert.Equal((field, modulo), (counter.Definition.Field, counter.Definition.Modulo));
    }

    [Theory]
    [InlineData(8)]
    [InlineData(10)]
    public void A_bit_above_a_counter_that_turns_now_and_then_is_none_of_it_in_a_long_recording(int length)
    {
        var field = new BitField(new BitPosition(0, 0), length, ByteOrder.Little);
        var above = field.MostSignificant is var top && top.Bit < 7 ? new BitPosition(top.Byte, top.Bit + 1) : new BitPosition(top.Byte + 1, 0);
        var samples = LearnedPayloads.Make(2, 60_000, i => LearnedPayloads.Write(LearnedPayloads.Write([0, 0], field, i), new BitField(above, 1, ByteOrder.Little), i / 9_001 & 1));

        var counter = Assert.Single(CounterFinder.Find(samples));

        Assert.Equal((LearnedPayloads.Bits(field).Count, 0), (counter.Definition.Field.Length, counter.CarriedBits));
    }

    private static IReadOnlyList<FoundCounter> Found(BitField field, int frames, int seed, Func<int, int> value)
    {
        var random = new Random(seed);
        return CounterFinder.Find(LearnedPayloads.Make(Bytes, frames, i => LearnedPayloads.Write(LearnedPayloads.Noise(random, Bytes), field, value(i) & ((1 << field.Length) - 1))));
    }
}
