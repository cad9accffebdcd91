using BusScope.Analysis.Learning.Checksums;
using BusScope.Analysis.Learning.Counters;
using BusScope.Signals.Definitions;
using CsCheck;
using Xunit;

namespace BusScope.Analysis.Tests.Learning;

public class CounterFinderTests
{
    private const int Frames = 3000;

    [Fact]
    public void A_counter_is_found_at_any_position_with_any_step_or_beyond_a_byte_by_one() =>
        (from length in Gen.Int[2, 10]
         from order in Gen.Bool.Select(big => big ? ByteOrder.Big : ByteOrder.Little)
         from start in Gen.Int[0, 63]
         from oddStep in length <= 8 ? Gen.Int[0, (1 << (length - 1)) - 1] : Gen.Const(0)
         from down in Gen.Bool
         from seed in Gen.Int
         select (new BitField(new BitPosition(start / 8, start % 8), length, order), ((2 * oddStep) + 1) * (down ? -1 : 1), seed))
        .Where(t => t.Item1.LastByte < 8)
        .Sample((field, step, seed) =>
        {
            var random = new Random(seed);
            var samples = LearnedPayloads.Make(8, Frames, i => LearnedPayloads.Write(Noise(random), field, Modulo(i * step, 1 << field.Length)));

            var found = CounterFinder.Find(samples);

            var counter = Assert.Single(found).Definition;
            Assert.Equal(LearnedPayloads.Bits(field), LearnedPayloads.Bits(counter.Field));
            Assert.Equal(1 << field.Length, counter.Modulo);
            Assert.Equal(Modulo(step, 1 << field.Length), Modulo(counter.Step, 1 << field.Length));
        }, iter: 60);

    [Theory]
    [InlineData(15, 1)]
    [InlineData(10, 1)]
    [InlineData(15, -1)]
    [InlineData(13, 5)]
    public void A_counter_that_turns_before_its_range_is_full_is_found_with_its_modulo(int modulo, int step)
    {
        var field = new BitField(new BitPosition(3, 4), 4, ByteOrder.Little);
        var random = new Random(1);
        var samples = LearnedPayloads.Make(8, Frames, i => LearnedPayloads.Write(Noise(random), field, Modulo(i * step, modulo)));

        var found = CounterFinder.Find(samples);

        var counter = Assert.Single(found).Definition;
        Assert.Equal(LearnedPayloads.Bits(field), LearnedPayloads.Bits(counter.Field));
        Assert.Equal(modulo, counter.Modulo);
        Assert.Equal(step, counter.Step);
    }

    // A clock of seconds in two captures, that begins with each anew; and one that stood on through a pause.
    [Theory]
    [InlineData(0, 40, 0, 25)]
    [InlineData(16, 48, 67, 98)]
    public void What_goes_back_once_is_no_counter_that_goes_round(int first, int until, int second, int end)
    {
        var random = new Random(3);
        int[] values = [.. Enumerable.Range(first, until - first), .. Enumerable.Range(second, end - second)];
        var samples = LearnedPayloads.Make(8, values.Length, i =>
        {
            var payload = Noise(random);
            payload[2] = (byte)(values[i] << 1);
            return payload;
        });

        Assert.DoesNotContain(CounterFinder.Find(samples), counter => counter.Definition.Modulo is 40 or 48);
    }

    [Fact]
    public void A_counter_is_found_although_frames_were_lost()
    {
        var field = new BitField(new BitPosition(6, 0), 4, ByteOrder.Little);
        var random = new Random(2);
        var sent = 0;
        var samples = LearnedPayloads.Make(8, Frames, _ => LearnedPayloads.Write(Noise(random), field, Modulo(sent += random.Next(50) == 0 ? 2 : 1, 16)));

        var found = CounterFinder.Find(samples);

        Assert.Equal(LearnedPayloads.Bits(field), LearnedPayloads.Bits(Assert.Single(found).Definition.Field));
    }

    [Fact]
    public void A_counter_is_found_although_one_frame_in_seven_was_lost()
    {
        var field = new BitField(new BitPosition(1, 3), 6, ByteOrder.Little);
        var random = new Random(7);
        var sent = 0;
        var samples = LearnedPayloads.Make(8, Frames, _ => LearnedPayloads.Write(Noise(random), field, Modulo(sent += random.Next(7) == 0 ? 2 : 1, 64)));

        var found = CounterFinder.Find(samples);

        var counter = Assert.Single(found);
        Assert.Equal(LearnedPayloads.Bits(field), LearnedPayloads.Bits(counter.Definition.Field));
        Assert.Equal(counter.Pairs, counter.Matches + counter.Losses);
        Assert.False(counter.Holds);
    }

    [Fact]
    public void A_counter_whose_bits_stand_in_reverse_is_found_and_told() =>
        Gen.Select(Gen.Int[3, 8], Gen.Int[0, 40], Gen.Int).Sample((length, start, seed) =>
        {
            var field = new BitField(new BitPosition(start / 8, start % 8), length, ByteOrder.Little);
            var random = new Random(seed);
            var samples = LearnedPayloads.Make(8, Frames, i => LearnedPayloads.Write(Noise(random), field, Reverse(i, length)));

            var found = CounterFinder.Find(samples);

            var counter = Assert.Single(found);
            Assert.True(counter.IsReversed);
            Assert.False(counter.Holds);
            Assert.Equal(LearnedPayloads.Bits(field), LearnedPayloads.Bits(counter.Definition.Field));
        }, iter: 20);

    [Fact]
    public void A_mirror_of_a_counter_is_a_second_counter_that_counts_down()
    {
        var field = new BitField(new BitPosition(2, 0), 4, ByteOrder.Little);
        var mirror = new BitField(new BitPosition(5, 4), 4, ByteOrder.Little);
        var random = new Random(3);
        var samples = LearnedPayloads.Make(8, Frames, i => LearnedPayloads.Write(LearnedPayloads.Write(Noise(random), field, i & 15), mirror, ~i & 15));

        var found = CounterFinder.Find(samples);

        Assert.Equal([1, -1], found.Select(c => c.Definition.Step).OrderDescending());
        Assert.Equal([LearnedPayloads.Bits(field), LearnedPayloads.Bits(mirror)], found.OrderByDescending(c => c.Definition.Step).Select(c => LearnedPayloads.Bits(c.Definition.Field)));
    }

    [Fact]
    public void Neighbouring_bits_that_change_now_and_then_are_not_taken_for_the_counters_top()
    {
        var random = new Random(4);
        var high = 0;
        var samples = LearnedPayloads.Make(4, Frames, i => [1, (byte)(high += random.Next(200) == 0 ? 1 : 0), (byte)i, 7]);

        var found = CounterFinder.Find(samples);

        Assert.Equal(new BitField(new BitPosition(2, 0), 8, ByteOrder.Little), Assert.Single(found).Definition.Field);
    }

    [Fact]
    public void Nothing_is_claimed_on_constant_payloads() =>
        Assert.Empty(CounterFinder.Find(LearnedPayloads.Make(8, Frames, _ => [1, 2, 3, 4, 5, 6, 7, 8])));

    [Fact]
    public void Nothing_is_claimed_on_random_payloads() => Gen.Int.Sample(seed =>
    {
        var random = new Random(seed);

        Assert.Empty(CounterFinder.Find(LearnedPayloads.Make(8, Frames, _ => Noise(random))));
    }, iter: 20);

    [Fact]
    public void Nothing_is_claimed_on_a_value_that_wanders()
    {
        var random = new Random(6);
        var value = 30000;

        Assert.Empty(CounterFinder.Find(LearnedPayloads.Make(2, Frames, _ => BitConverter.GetBytes((ushort)(value += random.Next(-3, 4))))));
    }

    // Published facts of the capture's owner and an independent analysis: 130 and 140 count in byte 6 bits 0-3, 153 in the high nibble
    // of byte 6, 251 in byte 2, 340 in the high nibble of byte 4, 2B0 in the low nibble of byte 4.
    [Theory]
    [InlineData(0x130, 1, 6, 0, 4)]
    [InlineData(0x140, 1, 6, 0, 4)]
    [InlineData(0x153, 0, 6, 4, 4)]
    [InlineData(0x251, 1, 2, 0, 8)]
    [InlineData(0x340, 1, 4, 4, 4)]
    [InlineData(0x2B0, 0, 4, 0, 4)]
    public void The_counters_of_a_real_car_are_found(uint id, int bus, int atByte, int bit, int length)
    {
        var samples = LearnedPayloads.Published("vehicle-two-buses-off-on-ready-off.csv", id, bus);

        var found = CounterFinder.Find(samples);

        Assert.Equal(new BitField(new BitPosition(atByte, bit), length, ByteOrder.Little), found[0].Definition.Field);
        Assert.Equal(1, found[0].Definition.Step);
    }

    // The capture's own frames: byte 5 goes up by one in all pairs, byte 6 is the sum of the others.
    [Theory]
    [InlineData(0, 431)]
    [InlineData(160, 431)]
    public void A_sum_beside_a_counter_is_not_taken_for_its_upper_end(int from, int until)
    {
        var all = LearnedPayloads.Published("vehicle-two-buses-off-on-ready-off.csv", 0x381, bus: 1);
        var samples = LearnedPayloads.Make(8, until - from, i => all[from + i].ToArray());

        var counter = CounterFinder.Find(samples)[0];

        Assert.Equal((5, 5, 1), (counter.Definition.Field.FirstByte, counter.Definition.Field.LastByte, counter.Definition.Step));
        Assert.Equal(ChecksumFamily.Sum, ChecksumFinder.Find(samples, counter.Definition)?.Definition?.Family);
    }

    [Fact]
    public void A_round_that_was_not_seen_whole_is_not_claimed()
    {
        var samples = LearnedPayloads.Make(2, 270, i => [(byte)(i * 5), (byte)((i * 5) >> 8)]);

        Assert.All(CounterFinder.Find(samples), counter => Assert.True(counter.Definition.Modulo <= 256, $"{counter.Definition}"));
    }

    // Made by hand: wheel pulses at constant speed, the seconds of a clock in binary-coded decimal, a wheel number that goes round.
    [Theory]
    [InlineData("pulses by five")]
    [InlineData("pulses by one")]
    [InlineData("clock")]
    [InlineData("wheel")]
    public void What_may_only_grow_evenly_is_told_and_not_demanded(string kind)
    {
        var learned = LearnedCar.Of(new SentMessage(0x100, LearnedCar.Every(10, 0, 12_000), time => Of((int)Math.Round(time / 10)))).Messages[0];

        Assert.NotNull(learned.Counter);
        Assert.True(learned.Counter.Holds);
        Assert.False(learned.Counter.IsDemanded);

        byte[] Of(int i) => kind switch
        {
            "pulses by five" => [(byte)((i * 5) >> 8), (byte)(i * 5), 0],
            "pulses by one" => [(byte)(i >> 8), (byte)i, 0],
            "clock" => [0x12, (byte)((i / 60 / 10 % 6 * 16) + (i / 60 % 10)), (byte)((i / 10 % 6 * 16) + (i % 10))],
            _ => [(byte)(i & 3), 0x40, 0x41],
        };
    }

    [Fact]
    public void A_counter_beside_a_living_value_is_demanded()
    {
        var random = new Random(8);
        var learned = LearnedCar.Of(new SentMessage(0x100, LearnedCar.Every(10, 0, 12_000), time => [(byte)(0x30 | ((int)Math.Round(time / 10) & 15)), (byte)random.Next(256)])).Messages[0];

        Assert.True(learned.Counter?.IsDemanded);
    }

    private static byte[] Noise(Random random) => LearnedPayloads.Noise(random, 8);

    private static int Reverse(int value, int length) => Enumerable.Range(0, length).Sum(bit => ((value >> bit) & 1) << (length - 1 - bit));

    private static int Modulo(int value, int modulo) => ((value % modulo) + modulo) % modulo;
}
