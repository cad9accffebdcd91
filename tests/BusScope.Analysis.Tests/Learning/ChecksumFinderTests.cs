using BusScope.Analysis.Learning.Checksums;
using BusScope.Analysis.Learning.Counters;
using BusScope.Frames;
using BusScope.Signals.Definitions;
using BusScope.Signals.Protection;
using CsCheck;
using Xunit;

namespace BusScope.Analysis.Tests.Learning;

public class ChecksumFinderTests
{
    private const int Frames = 1500;

    [Fact]
    public void Any_eight_bit_crc_is_found_whatever_its_constants_and_wherever_it_stands() =>
        (from polynomial in Gen.Int[1, 127].Select(half => (2 * half) + 1)
         from reflected in Gen.Bool
         from start in Gen.Byte
         from final in Gen.Byte
         from place in Gen.Int[0, 6].Select(i => i == 6 ? 7 : i)
         from seed in Gen.Int
         select (polynomial, reflected, start, final, place, seed)).Where(t => TellsBytesApart(t.polynomial)).Sample((polynomial, reflected, start, final, place, seed) =>
        {
            var random = new Random(seed);
            var samples = LearnedPayloads.Make(8, Frames, i =>
            {
                var payload = Lively(random, i);
                payload[place] = SlowCrc(payload.Where((_, b) => b != place), polynomial, reflected, start, final);
                return payload;
            });

            var found = ChecksumFinder.Find(samples, Counter);

            Assert.NotNull(found?.Definition);
            Assert.Equal(Frames, found.Matches);
            Assert.Equal(place, found.Definition.Field.FirstByte);
            Assert.Equal(8, found.Definition.Field.Length);
            var crc = Assert.IsType<CrcParameters>(found.Definition.Crc);
            Assert.Equal(((ulong)polynomial, reflected), (crc.Polynomial, crc.Reflected));
            AssertHolds(found.Definition, random, fresh => SlowCrc(fresh.Where((_, b) => b != place), polynomial, reflected, start, final));
        }, iter: 25);

    [Fact]
    public void Coverage_and_hidden_data_ids_are_found_whatever_they_are() =>
        (from polynomial in Gen.Int[1, 127].Select(half => (2 * half) + 1)
         from reflected in Gen.Bool
         from final in Gen.Byte
         from range in Gen.Select(Gen.Int[0, 2], Gen.Int[4, 6])
         from idFirst in Gen.Bool
         from ids in Gen.Byte.Array[16]
         from seed in Gen.Int
         select (polynomial, reflected, final, range, idFirst, ids, seed)).Where(t => TellsBytesApart(t.polynomial) && t.ids.Distinct().Count() > 4).Sample((polynomial, reflected, final, range, idFirst, ids, seed) =>
        {
            var random = new Random(seed);
            var samples = LearnedPayloads.Make(8, Frames, i =>
            {
                var payload = Lively(random, i);

                // Beside a constant, the counter's byte would say nothing that its data id does not say as well.
                payload[6] = (byte)((random.Next(16) << 4) | (i & 15));
                payload[7] = Protect(payload, i & 15);
                return payload;
            });

            var found = ChecksumFinder.Find(samples, Counter);

            Assert.NotNull(found?.Definition);
            Assert.Equal([new ByteRange(range.Item1, range.Item2)], found.Definition.Over);
            Assert.Equal(((ulong)polynomial, reflected), (found.Definition.Crc!.Polynomial, found.Definition.Crc.Reflected));
            Assert.Equal(16, found.Definition.DataIds.Count);

            // Start, final value and ids make up for one another, so the claim is held against frames that it never saw.
            var plan = ChecksumPlan.Compile(new MessageDefinition { Name = "M", Key = new MessageKey.Identifier(new CanId(1, false)), Length = 8, Counter = Counter, Checksum = found.Definition })!;
            for (var i = 0; i < 32; i++)
            {
                var fresh = Lively(random, i);
                Assert.Equal(Protect(fresh, i & 15), (byte)plan.Compute(fresh));
            }

            byte Protect(byte[] payload, int counter)
            {
                var covered = payload[range.Item1..(range.Item2 + 1)];
                return SlowCrc(idFirst ? [ids[counter], .. covered] : [.. covered, ids[counter]], polynomial, reflected, 0, final);
            }
        }, iter: 20);

    [Theory]
    [InlineData(0, 4)]
    [InlineData(1, 5)]
    [InlineData(2, 6)]
    public void The_covered_bytes_are_found(int from, int to)
    {
        var random = new Random(1);
        var samples = LearnedPayloads.Make(8, Frames, i =>
        {
            var payload = Lively(random, i);
            payload[7] = SlowCrc(payload[from..(to + 1)], 0x1D, false, 0xFF, 0xFF);
            return payload;
        });

        var found = ChecksumFinder.Find(samples, Counter);

        Assert.Equal([new ByteRange(from, to)], found?.Definition?.Over);
        Assert.Equal(new CrcParameters(8, 0x1D, 0xFF, 0xFF, false), found!.Definition!.Crc);
    }

    [Theory]
    [InlineData(ChecksumFamily.Sum)]
    [InlineData(ChecksumFamily.Xor)]
    [InlineData(ChecksumFamily.NibbleSum)]
    public void A_plain_sum_is_found_by_its_kind(ChecksumFamily family)
    {
        var random = new Random(2);
        var samples = LearnedPayloads.Make(8, Frames, i =>
        {
            var payload = Lively(random, i);
            payload[7] = (byte)payload[..7].Aggregate(0, (sum, b) => family switch
            {
                ChecksumFamily.Sum => sum + b,
                ChecksumFamily.Xor => sum ^ b,
                _ => sum + (b >> 4) + (b & 15),
            });
            return payload;
        });

        var found = ChecksumFinder.Find(samples, Counter);

        Assert.Equal(family, found?.Definition?.Family);
        Assert.Equal((0UL, 0UL), (found!.Definition!.Start, found.Definition.Final));
        Assert.Equal([new ByteRange(0, 6)], found.Definition.Over);
    }

    [Fact]
    public void The_complement_of_a_sum_is_found()
    {
        var random = new Random(3);
        var samples = LearnedPayloads.Make(8, Frames, i =>
        {
            var payload = Lively(random, i);
            payload[0] = (byte)~payload[1..].Sum(b => b);
            return payload;
        });

        var found = ChecksumFinder.Find(samples, Counter);

        Assert.Equal((ChecksumFamily.Sum, 0UL, 0xFFUL), (found!.Definition!.Family, found.Definition.Start, found.Definition.Final));
    }

    [Fact]
    public void A_hidden_data_id_for_each_counter_value_is_found()
    {
        // AUTOSAR E2E profile 2: CRC-8 of polynomial 2F over the payload and then the data id of the counter's value.
        var random = new Random(4);
        var ids = Enumerable.Range(0, 16).Select(_ => (byte)random.Next(256)).ToArray();
        var samples = LearnedPayloads.Make(8, Frames, i =>
        {
            var payload = Lively(random, i);
            payload[0] = SlowCrc([.. payload[1..], ids[i & 15]], 0x2F, false, 0xFF, 0xFF);
            return payload;
        });

        var found = ChecksumFinder.Find(samples, Counter);

        Assert.Equal(new CrcParameters(8, 0x2F, 0xFF, 0xFF, false), found?.Definition?.Crc);
        Assert.Equal(ids.Select(b => (ulong)b), found!.Definition!.DataIds);
        Assert.False(found.Definition.DataIdFirst);
    }

    [Theory]
    [InlineData(0x1021, false, ByteOrder.Little)]
    [InlineData(0x1021, false, ByteOrder.Big)]
    [InlineData(0x8005, true, ByteOrder.Little)]
    [InlineData(0xA001, false, ByteOrder.Big)]
    public void A_sixteen_bit_crc_is_found(int polynomial, bool reflected, ByteOrder order)
    {
        var random = new Random(5);
        var samples = LearnedPayloads.Make(8, Frames, i =>
        {
            var payload = Lively(random, i);
            var crc = SlowCrc16([.. payload[2..], 0x34, 0x12], polynomial, reflected, 0xFFFF);
            (payload[0], payload[1]) = order == ByteOrder.Big ? ((byte)(crc >> 8), (byte)crc) : ((byte)crc, (byte)(crc >> 8));
            return payload;
        });

        var found = ChecksumFinder.Find(samples, Counter);

        Assert.Equal(((ulong)polynomial, reflected), (found!.Definition!.Crc!.Polynomial, found.Definition.Crc.Reflected));
        Assert.Equal(order, found.Definition.Field.Order);
    }

    [Fact]
    public void Nothing_is_claimed_on_constant_payloads() =>
        Assert.Null(ChecksumFinder.Find(LearnedPayloads.Make(8, Frames, _ => [1, 2, 3, 4, 5, 6, 7, 8]), null));

    [Fact]
    public void Nothing_is_claimed_on_random_payloads() => Gen.Select(Gen.Int, Gen.Int[2, 8]).Sample((seed, length) =>
    {
        var random = new Random(seed);

        var found = ChecksumFinder.Find(LearnedPayloads.Make(length, Frames, _ => LearnedPayloads.Noise(random, length)), null);

        Assert.Null(found);
    }, iter: 25);

    [Fact]
    public void Nothing_is_claimed_where_only_a_counter_moves() => Gen.Select(Gen.Int, Gen.Int[0, 7]).Sample((seed, at) =>
    {
        var constant = LearnedPayloads.Noise(new Random(seed), 8);

        var found = ChecksumFinder.Find(
            LearnedPayloads.Make(8, Frames, i => [.. constant.Select((b, index) => index == at ? (byte)((b & 0xF0) | (i & 15)) : b)]),
            new CounterDefinition(new BitField(new BitPosition(at, 0), 4, ByteOrder.Little)));

        Assert.Null(found);
    }, iter: 50);

    [Fact]
    public void Nothing_is_claimed_where_only_a_counter_and_its_mirror_move()
    {
        var found = ChecksumFinder.Find(LearnedPayloads.Make(8, Frames, i => [9, 9, (byte)~i, 9, 9, 9, (byte)(i & 15), SlowCrc([(byte)(i & 15)], 0x1D, false, 0, 0)]), Counter);

        Assert.Null(found?.Definition);
    }

    [Fact]
    public void A_checksum_of_a_form_that_is_not_known_is_reported_as_protection()
    {
        // A product table: no sum, no exclusive or, no cyclic code.
        var random = new Random(7);
        var samples = LearnedPayloads.Make(8, Frames, i =>
        {
            byte[] payload = [(byte)(random.Next(4) * 40), 3, 3, 3, 3, 3, (byte)(i & 15), 0];
            payload[7] = (byte)(((payload[0] + 7) * (payload[6] + 3) * 167) >> 3);
            return payload;
        });

        var found = ChecksumFinder.Find(samples, Counter);

        Assert.Null(found?.Definition);
        Assert.Equal(7, found?.Suspect?.FirstByte);
    }

    // Made by hand: a living sensor, sent twice, the second time as it is or inverted.
    [Theory]
    [InlineData(0)]
    [InlineData(0xFF)]
    public void Two_equal_tracks_of_a_sensor_are_a_copy_and_no_checksum(int inverted)
    {
        var random = new Random(9);
        var value = 100;
        var samples = LearnedPayloads.Make(4, Frames, _ => [(byte)(value += random.Next(9) - 4), (byte)(value ^ inverted), 0, 0]);

        Assert.Null(ChecksumFinder.Find(samples, null)?.Definition);
        Assert.Equal([new ByteCopy(1, 0, inverted != 0)], PayloadCopies.Bytes(samples));
    }

    // One that rests, and one that differs once.
    [Fact]
    public void A_byte_that_hardly_moves_or_differs_once_from_another_is_no_copy_of_it()
    {
        var random = new Random(9);

        Assert.Empty(PayloadCopies.Bytes(LearnedPayloads.Make(2, Frames, i => [5, (byte)(i == 9 ? 0x42 : 5)])));
        Assert.Empty(PayloadCopies.Bytes(LearnedPayloads.Make(2, Frames, i => i < Frames / 2 ? [5, 5] : [0xF0, 0xF0])));
        Assert.Empty(PayloadCopies.Bytes(LearnedPayloads.Make(2, Frames, i =>
        {
            var value = (byte)random.Next(256);
            return [value, (byte)(i == Frames / 2 ? ~value : value)];
        })));
    }

    [Fact]
    public void What_counts_or_is_a_copy_is_not_called_protection_of_an_unknown_form()
    {
        var random = new Random(9);
        var value = 100;
        var counting = LearnedPayloads.Make(8, Frames, i => [0x10, 0x20, (byte)(i & 15), 0, 0, 0, 0, (byte)(-i & 15)]);
        var copied = LearnedPayloads.Make(4, Frames, _ => [(byte)(value += random.Next(9) - 4), (byte)~value, (byte)random.Next(2), 0]);
        var shifted = LearnedPayloads.Make(2, Frames, _ => [(byte)(value += random.Next(9) - 4), (byte)(value + 0x11)]);

        Assert.Null(ChecksumFinder.Find(shifted, null)?.Suspect);
        Assert.Null(ChecksumFinder.Find(counting, null, CounterFinder.Find(counting).Select(counter => counter.Definition.Field))?.Suspect);
        Assert.Null(ChecksumFinder.Find(copied, null)?.Suspect);
    }

    // Published facts of the capture's owner and an independent analysis; the captures' own frames are the evidence.
    [Theory]
    [InlineData(0x130, 1, ChecksumFamily.Crc, 7, 0)]
    [InlineData(0x140, 1, ChecksumFamily.Crc, 7, 0)]
    [InlineData(0x153, 0, ChecksumFamily.Sum, 7, 0)]
    [InlineData(0x251, 1, ChecksumFamily.Sum, 3, 0)]
    [InlineData(0x340, 1, ChecksumFamily.Sum, 6, 0)]
    [InlineData(0x2B0, 0, ChecksumFamily.NibbleXor, 4, 4)]
    public void The_checksums_of_a_real_car_are_found(uint id, int bus, ChecksumFamily family, int atByte, int bit)
    {
        var samples = LearnedPayloads.Published("vehicle-two-buses-off-on-ready-off.csv", id, bus);

        var found = ChecksumFinder.Find(samples, CounterFinder.Find(samples)[0].Definition);

        Assert.Equal(family, found?.Definition?.Family);
        Assert.Equal(new BitPosition(atByte, bit), found!.Definition!.Field.LeastSignificant);
        Assert.Equal(samples.Count, found.Matches);
        if (family == ChecksumFamily.Crc)
        {
            // CRC-8/SAE-J1850 of bytes 0 to 6.
            Assert.Equal(new CrcParameters(8, 0x1D, 0xFF, 0xFF, false), found.Definition.Crc);
            Assert.Equal([new ByteRange(0, 6)], found.Definition.Over);
        }
    }

    private static CounterDefinition Counter { get; } = new(new BitField(new BitPosition(6, 0), 4, ByteOrder.Little));

    /// <summary>
    /// Where x to the power of eight or less is 1, a byte counts the same at two places, and nothing in the payloads tells which of
    /// the two is the checksum.
    /// </summary>
    private static bool TellsBytesApart(int polynomial)
    {
        var power = 1;
        for (var i = 0; i < 64; i++)
        {
            power = ((power << 1) & 0xFF) ^ (power >= 0x80 ? polynomial : 0);
            if (power == 1 && (i + 1) % 8 == 0)
            {
                return false;
            }
        }

        return true;
    }

    /// <summary>A payload with a counter in byte 6 and five bytes that live.</summary>
    private static byte[] Lively(Random random, int i)
    {
        var payload = new byte[8];
        random.NextBytes(payload);
        payload[6] = (byte)(0x50 | (i & 15));
        return payload;
    }

    private static void AssertHolds(ChecksumDefinition definition, Random random, Func<byte[], byte> expected)
    {
        var fresh = new byte[8];
        for (var i = 0; i < 20; i++)
        {
            random.NextBytes(fresh);
            var covered = definition.Over.SelectMany(r => fresh[r.From..(r.To + 1)]);
            var crc = definition.Crc!;
            Assert.Equal(expected(fresh), SlowCrc(covered, (int)crc.Polynomial, crc.Reflected, (int)crc.Start, (int)crc.Final));
        }
    }

    private static byte SlowCrc(IEnumerable<byte> data, int polynomial, bool reflected, int start, int final) =>
        (byte)ShiftRegister.Run(data, 8, polynomial, reflected, start, final);

    private static int SlowCrc16(IEnumerable<byte> data, int polynomial, bool reflected, int start) =>
        ShiftRegister.Run(data, 16, polynomial, reflected, start, 0);
}
