using BusScope.Analysis.Learning.Checksums;
using BusScope.Analysis.Learning.Payloads;
using BusScope.Frames;
using BusScope.Signals.Definitions;
using BusScope.Signals.Protection;
using CsCheck;
using Xunit;

namespace BusScope.Analysis.Tests.Learning;

/// <summary>Of a checksum wider than a byte the low byte is often one itself; the whole is what the sender computes.</summary>
public class WideChecksumTests
{
    private const int Frames = 800;

    private static readonly Gen<ByteOrder> anyOrder = Gen.Bool.Select(big => big ? ByteOrder.Big : ByteOrder.Little);

    [Fact]
    public void A_sum_of_sixteen_bits_is_found_whole_whatever_it_covers_and_is_added_to() =>
        (from order in anyOrder
         from place in Gen.Int[0, 6]
         from size in Gen.Int[2, 6]
         from shift in Gen.Int[0, 4]
         from isNegative in Gen.Bool
         from constant in Gen.UShort
         from seed in Gen.Int
         let covered = Enumerable.Range(0, 8).Where(b => b != place && b != place + 1).Skip(Math.Min(shift, 6 - size)).Take(size).ToArray()
         select (order, place, covered, isNegative, constant, seed)).Sample((order, place, covered, isNegative, constant, seed) =>
        {
            var random = new Random(seed);
            byte[] Sent()
            {
                var payload = LearnedPayloads.Noise(random, 8);
                var sum = covered.Sum(b => payload[b]);
                return With(payload, place, order, isNegative ? constant - sum : constant + sum);
            }

            AssertFoundWhole(LearnedPayloads.Make(8, Frames, _ => Sent()), Sent, place, order);
        }, iter: 30);

    // The halves of six bytes make 90 on the average: with this added, or taken off, the sums are carried over now and then.
    [Fact]
    public void A_sum_of_halves_in_sixteen_bits_is_found_whole() =>
        (from order in anyOrder from isNegative in Gen.Bool from upper in Gen.Byte from about in Gen.Int[-10, 10] from seed in Gen.Int select (order, isNegative, upper, about, seed)).Sample((order, isNegative, upper, about, seed) =>
        {
            var random = new Random(seed);
            byte[] Sent()
            {
                var payload = LearnedPayloads.Noise(random, 8);
                var sum = payload[..6].Sum(value => (value >> 4) + (value & 15));
                return With(payload, 6, order, (upper << 8) + (isNegative ? 90 + about - sum : 166 + about + sum));
            }

            AssertFoundWhole(LearnedPayloads.Make(8, Frames, _ => Sent()), Sent, 6, order);
        }, iter: 15);

    [Fact]
    public void A_crc_of_sixteen_bits_is_found_whole_whatever_its_polynomial() =>
        (from polynomial in Gen.Int[0, 0x7FFF].Select(half => (2 * half) + 1)
         from reflected in Gen.Bool
         from order in anyOrder
         from place in Gen.Bool.Select(isLast => isLast ? 6 : 0)
         from final in Gen.UShort
         from seed in Gen.Int
         select (polynomial, reflected, order, place, final, seed)).Sample((polynomial, reflected, order, place, final, seed) =>
        {
            var random = new Random(seed);
            byte[] Sent()
            {
                var payload = LearnedPayloads.Noise(random, 8);
                return With(payload, place, order, ShiftRegister.Run(payload.Where((_, b) => b != place && b != place + 1), 16, polynomial, reflected, 0, final));
            }

            AssertFoundWhole(LearnedPayloads.Make(8, Frames, _ => Sent()), Sent, place, order);
        }, iter: 30);

    // The sums are never carried over, so it may be the upper byte of the sum or anything else.
    [Fact]
    public void A_byte_that_never_changed_is_no_part_of_the_checksum_beside_it() =>
        (from order in anyOrder
         from still in Gen.Byte
         from constant in Gen.Int[0, 60]
         from isLast in Gen.Bool
         from seed in Gen.Int
         select (order, still, constant, isLast, seed)).Sample((order, still, constant, isLast, seed) =>
        {
            var random = new Random(seed);
            var samples = LearnedPayloads.Make(8, Frames, _ =>
            {
                var payload = Small(random);
                return With(payload, isLast ? 6 : 0, order, (still << 8) + constant + (isLast ? payload[..6] : payload[2..]).Sum(value => value));
            });

            Assert.Equal(8, ChecksumFinder.Find(samples, null)?.Definition?.Field.Length);
        }, iter: 20);

    [Theory]
    [InlineData(7, 8)]
    [InlineData(8, 16)]
    public void A_byte_is_a_part_of_the_checksum_beside_it_once_it_changed_with_it_some_times(int changes, int width)
    {
        // Small values, whose sum is carried over from some frames to the next.
        var random = new Random(1);
        var samples = LearnedPayloads.Make(8, Frames, i =>
        {
            var payload = Small(random);
            payload[0] = (byte)(i * (changes + 1) / Frames % 2 == 0 ? 0 : 0xFF);
            payload[1] = (byte)(payload[0] == 0 ? payload[1] : payload[1] | 1);
            return With(payload, 6, ByteOrder.Big, payload[..6].Sum(value => value));
        });

        Assert.Equal(changes, Enumerable.Range(1, Frames - 1).Count(i => samples[i][6] != samples[i - 1][6]));
        Assert.Equal(width, ChecksumFinder.Find(samples, null)?.Definition?.Field.Length);
    }

    // The sum is never carried over, and the byte beside it turns in one frame of 200 for a reason of its own: in the others a sum of 16 bits holds.
    [Fact]
    public void What_fails_wherever_the_other_byte_turns_is_not_the_checksum()
    {
        var random = new Random(2);
        var samples = LearnedPayloads.Make(8, Frames, i =>
        {
            var payload = Small(random);
            return With(payload, 6, ByteOrder.Big, payload[..6].Sum(value => value) + (i % 200 == 100 ? 0x100 : 0));
        });

        Assert.Equal((8, ChecksumFamily.Sum), ChecksumFinder.Find(samples, null)?.Definition is { } found ? (found.Field.Length, found.Family) : default);
    }

    // One bit of the upper byte is told by hardly more evidence than none, and the damaged frames take it away.
    [Fact]
    public void Frames_damaged_in_the_upper_byte_do_not_make_the_checksum_narrower()
    {
        var random = new Random(3);
        var samples = LearnedPayloads.Make(8, Frames, i =>
        {
            var payload = Array.ConvertAll(LearnedPayloads.Noise(random, 8), value => (byte)(value & 0x3F));
            return With(payload, 6, ByteOrder.Big, payload[..6].Sum(value => value) ^ (i % 130 == 100 ? 0x0100 : 0));
        });

        Assert.Equal(16, ChecksumFinder.Find(samples, null)?.Definition?.Field.Length);
    }

    // An exclusive or of bytes is one of halves as well, in either half.
    [Fact]
    public void An_exclusive_or_of_bytes_is_found_whole() =>
        (from place in Gen.Int[0, 7] from constant in Gen.Byte from seed in Gen.Int select (place, constant, seed)).Sample((place, constant, seed) =>
        {
            var random = new Random(seed);
            var samples = LearnedPayloads.Make(8, Frames, _ =>
            {
                var payload = LearnedPayloads.Noise(random, 8);
                payload[place] = 0;
                payload[place] = (byte)payload.Aggregate((int)constant, (all, value) => all ^ value);
                return payload;
            });

            Assert.Equal((8, ChecksumFamily.Xor), ChecksumFinder.Find(samples, null)?.Definition is { } found ? (found.Field.Length, found.Family) : default);
        }, iter: 20);

    private static void AssertFoundWhole(PayloadSamples samples, Func<byte[]> sent, int place, ByteOrder order)
    {
        var found = ChecksumFinder.Find(samples, null)?.Definition;

        Assert.NotNull(found);
        Assert.Equal(16, found.Field.Length);
        var plan = ChecksumPlan.Compile(new MessageDefinition { Name = "M", Key = new MessageKey.Identifier(new CanId(1, false)), Length = samples.Length, Checksum = found })!;
        for (var i = 0; i < 32; i++)
        {
            var fresh = sent();
            Assert.Equal((ulong)FieldReader.Read(fresh, found.Field), plan.Compute(fresh));
            fresh[order == ByteOrder.Big ? place : place + 1] ^= 1;
            Assert.NotEqual((ulong)FieldReader.Read(fresh, found.Field), plan.Compute(fresh));
        }
    }

    // Six of them make no more than a byte holds.
    private static byte[] Small(Random random) => Array.ConvertAll(LearnedPayloads.Noise(random, 8), value => (byte)(value & 0x1F));

    private static byte[] With(byte[] payload, int place, ByteOrder order, int check)
    {
        (payload[place], payload[place + 1]) = order == ByteOrder.Big ? ((byte)(check >> 8), (byte)check) : ((byte)check, (byte)(check >> 8));
        return payload;
    }
}
