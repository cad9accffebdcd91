using BusScope.Analysis.Learning.Checksums;
using BusScope.Signals.Definitions;
using Xunit;

namespace BusScope.Analysis.Tests.Learning;

/// <summary>Payloads that do not tell which form the sender computes: none is claimed.</summary>
public class ChecksumDoubtTests
{
    private const int Frames = 1500;

    // As signal-defs/dunlin/dunlin-chassis.yaml defines 0x0F0: the exclusive or of all halves, in the low half of byte 3, the rest of which is never used.
    [Fact]
    public void Where_a_byte_and_its_half_fit_alike_nothing_is_claimed_and_both_are_told()
    {
        var random = new Random(10);
        var samples = LearnedPayloads.Make(4, Frames, i =>
        {
            byte[] payload = [(byte)random.Next(16), (byte)random.Next(16), (byte)(i & 15), 0];
            payload[3] = (byte)(payload[0] ^ payload[1] ^ payload[2]);
            return payload;
        });

        var found = ChecksumFinder.Find(samples, new CounterDefinition(new BitField(new BitPosition(2, 0), 4, ByteOrder.Little)));

        Assert.NotNull(found);
        Assert.Null(found.Definition);
        Assert.Contains(found.Rivals, rival => rival is { Family: ChecksumFamily.Xor, Field.Length: 8 });
        Assert.Contains(found.Rivals, rival => rival is { Family: ChecksumFamily.NibbleXor, Field.Length: 4 });
    }

    // As the built-in car sends 0x0F0: two bits that live beside the counter are enough for the byte and too little for its half alone.
    [Fact]
    public void A_half_that_is_too_little_for_a_claim_is_enough_to_cast_doubt_on_its_byte()
    {
        var random = new Random(11);
        var samples = LearnedPayloads.Make(4, Frames, i =>
        {
            byte[] payload = [(byte)random.Next(4), 0, (byte)(i & 15), 0];
            payload[3] = (byte)(payload[0] ^ payload[2]);
            return payload;
        });

        var found = ChecksumFinder.Find(samples, new CounterDefinition(new BitField(new BitPosition(2, 0), 4, ByteOrder.Little)));

        Assert.NotNull(found);
        Assert.Null(found.Definition);
        Assert.Equal([(ChecksumFamily.Xor, 8), (ChecksumFamily.NibbleXor, 4)], found.Rivals.Select(rival => (rival.Family, rival.Field.Length)));
    }

    // As the built-in car sends 0x328 while it is driven: too little changes to tell the sum of bytes from other forms over the whole byte, and its low half is a sum of halves as well.
    [Fact]
    public void Half_a_byte_is_not_claimed_while_forms_over_the_whole_byte_are_in_doubt()
    {
        var random = new Random(12);
        var samples = LearnedPayloads.Make(6, 50, i => WithSum([5, (byte)(0x40 + random.Next(8)), 0, (byte)(0x70 + random.Next(16)), (byte)(i & 15), 0]));

        var found = ChecksumFinder.Find(samples, new CounterDefinition(new BitField(new BitPosition(4, 0), 4, ByteOrder.Little)));

        Assert.NotNull(found);
        Assert.DoesNotContain(found.Rivals.Append(found.Definition), form => form?.Field.Length == 4);
    }

    // The sender leaves out byte 3, in which a bit turned in two frames of 250: a sum of all halves fails there and nowhere else.
    [Fact]
    public void A_form_that_fails_where_a_seldom_bit_turns_is_not_claimed_from_little_variety()
    {
        var random = new Random(13);
        var samples = LearnedPayloads.Make(6, 250, i =>
        {
            var value = random.Next(16);
            return [0, (byte)value, 0, (byte)(i is 100 or 101 ? 0x10 : 0), (byte)(i & 15), (byte)((value + i) & 15)];
        });

        Assert.Null(ChecksumFinder.Find(samples, new CounterDefinition(new BitField(new BitPosition(4, 0), 4, ByteOrder.Little)))?.Definition);
    }

    private static byte[] WithSum(byte[] payload)
    {
        payload[^1] = (byte)payload[..^1].Sum(value => value);
        return payload;
    }
}
