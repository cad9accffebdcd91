using BusScope.Analysis.Learning.Payloads;
using BusScope.Signals.Definitions;
using CsCheck;
using Xunit;

namespace BusScope.Analysis.Tests.Learning;

public class SelectorFinderTests
{
    private const int Frames = 1000;

    [Fact]
    public void A_byte_that_selects_the_layout_is_found_wherever_it_stands() => Gen.Select(Gen.Int[0, 7], Gen.Int[2, 12], Gen.Int).Sample((at, pages, seed) =>
    {
        var random = new Random(seed);
        var layouts = Enumerable.Range(0, pages).Select(_ => LearnedPayloads.Noise(random, 8)).ToArray();
        var samples = LearnedPayloads.Make(8, Frames, i =>
        {
            var payload = (byte[])layouts[i % pages].Clone();
            for (var b = 0; b < payload.Length; b++)
            {
                // What stands on a page lives, but slowly.
                payload[b] ^= (byte)(random.Next(8) == 0 ? random.Next(8) : 0);
            }

            payload[at] = (byte)(0x10 + (i % pages));
            return payload;
        });

        var found = SelectorFinder.Find(samples, [], null);

        Assert.NotNull(found);
        Assert.Equal(at, found.Field.FirstByte);
        Assert.Equal(pages, found.Values.Count);
    }, iter: 30);

    [Fact]
    public void A_counter_beside_values_that_live_is_none()
    {
        var random = new Random(2);
        int slow = 100, fast = 0;
        var samples = LearnedPayloads.Make(8, Frames, i => [(byte)(i & 15), (byte)(slow += random.Next(3) - 1), (byte)(fast += random.Next(9)), 0, 0, 0, 0, 0]);

        Assert.Null(SelectorFinder.Find(samples, [new BitField(new BitPosition(0, 0), 4, ByteOrder.Little)], null));
    }

    [Fact]
    public void Nothing_is_claimed_on_random_payloads()
    {
        var random = new Random(3);

        Assert.Null(SelectorFinder.Find(LearnedPayloads.Make(8, Frames, _ => LearnedPayloads.Noise(random, 8)), [], null));
    }
}
