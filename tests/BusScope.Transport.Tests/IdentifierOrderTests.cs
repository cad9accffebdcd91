using BusScope.TestKit;
using CsCheck;
using Xunit;
using static BusScope.TestKit.CaptureBuilder;

namespace BusScope.Transport.Tests;

public class IdentifierOrderTests
{
    private static readonly uint[] Words = [0x0C8, 0x123, 0x7DF, 0x240, 0x321, 0x130, 0x98FEF100, 0x98FEF131, 0x015, 0x5A0];

    private static byte[] Capture(bool hostOrder, IEnumerable<uint> words)
    {
        var b = new CaptureBuilder().Section().Interface("x");
        foreach (var word in words)
        {
            b.Packet(0, 1, Record(word, "01", hostOrder: hostOrder));
        }

        return b.Bytes;
    }

    [Fact]
    public void Identifiers_in_the_wrong_order_are_recognised_and_said()
    {
        var (source, read) = Captures.Read(Capture(hostOrder: true, Words));

        Assert.Equal(Words.Length, read.Frames.Count);
        var problem = Assert.Single(source.Problems.All, p => p.Kind == CaptureProblems.IdentifiersSwapped);
        Assert.Contains("read this file with its identifiers swapped", problem.Detail, StringComparison.Ordinal);
        Assert.NotNull(problem.First.ByteOffset);
    }

    [Fact]
    public void On_request_they_are_read_the_other_way_round()
    {
        var (source, read) = Captures.Read(Capture(hostOrder: true, Words), new CaptureOptions { IdentifiersSwapped = true });

        Assert.Equal(Words.Select(w => w & 0x1FFFFFFF), read.Frames.Select(f => f.Id.Value));
        Assert.Equal(Words.Select(w => w > 0x7FFFFFFF), read.Frames.Select(f => f.Id.IsExtended));
        Assert.Empty(source.Problems.All);
    }

    [Fact]
    public void A_request_that_makes_a_good_file_impossible_is_said()
    {
        var (source, _) = Captures.Read(Capture(hostOrder: false, Words), new CaptureOptions { IdentifiersSwapped = true });

        Assert.Contains("read it without swapping", source.Problems.All.Single(p => p.Kind == CaptureProblems.IdentifiersSwapped).Detail, StringComparison.Ordinal);
    }

    [Fact]
    public void A_long_file_in_the_wrong_order_is_recognised_by_its_beginning()
    {
        var (source, read) = Captures.Read(Capture(hostOrder: true, Enumerable.Repeat(Words, 300).SelectMany(w => w)));

        Assert.Equal(3000, read.Frames.Count);
        Assert.Contains(source.Problems.All, p => p.Kind == CaptureProblems.IdentifiersSwapped);
    }

    [Fact]
    public void No_file_in_the_right_order_is_suspected() =>
        Gen.OneOf(Gen.UInt[0, 0x7FF], Gen.UInt[0x80000000, 0x9FFFFFFF], Gen.UInt[0x20000000, 0x200003FF]).Array[1, 60].Sample(words =>
        {
            var (source, _) = Captures.Read(Capture(hostOrder: false, words));

            Assert.DoesNotContain(source.Problems.All, p => p.Kind == CaptureProblems.IdentifiersSwapped);
        });

    [Fact]
    public void Sixty_different_base_identifiers_in_the_wrong_order_are_always_recognised() =>
        Gen.Shuffle(Enumerable.Range(0, 0x800).ToArray(), 60).Sample(ids =>
        {
            var (source, _) = Captures.Read(Capture(hostOrder: true, ids.Select(id => (uint)id)));

            Assert.Contains(source.Problems.All, p => p.Kind == CaptureProblems.IdentifiersSwapped);
        });
}
