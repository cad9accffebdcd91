using BusScope.Frames;
using BusScope.Session.Readings;
using BusScope.Signals.Definitions;
using BusScope.TestKit;
using CsCheck;
using Xunit;

namespace BusScope.Health.Tests.Session;

/// <summary>The range of a field that is being defined.</summary>
public sealed class FieldWatchTests
{
    private static readonly Bus[] Buses = [new("chassis"), new("cabin")];

    private static readonly SignalDefinition Signed = new() { Name = "field", Field = new BitField(new BitPosition(1, 7), 8, ByteOrder.Big), Encoding = SignalEncoding.Signed };

    private static readonly MessageRequest Request = new("chassis", new CanId(0x0C8, false), Signed);

    [Fact]
    public void A_field_has_the_smallest_and_the_largest_value_of_all_frames_of_its_message_that_reach_so_far() =>
        Gen.Select(Gen.Byte, Gen.Bool, Gen.Bool, Gen.Bool).List[1, 300].Sample(frames =>
        {
            var watch = new FieldWatch();
            Assert.Null(watch.Follow(Request));
            var time = 0;
            foreach (var batch in Some.Batches(frames.Select(each =>
                Some.Frame(each.Item2 ? 0x0C8u : 0x0C9u, each.Item4 ? $"00{each.Item1:X2}" : "00", time++, bus: (ushort)(each.Item3 ? 0 : 1)))))
            {
                watch.Accept(batch, Buses);
            }

            var said = frames.Where(each => each.Item2 && each.Item3 && each.Item4).Select(each => (double)(sbyte)each.Item1).ToList();
            Assert.Equal(said.Count == 0 ? null : new FieldRange(said.Min(), said.Max(), said.Count), watch.Follow(Request));
        });

    [Fact]
    public void Another_field_begins_anew_and_the_same_goes_on()
    {
        var watch = new FieldWatch();
        watch.Follow(Request);
        watch.Accept(Some.Batches([Some.Frame(0x0C8, "0005")]).First(), Buses);

        Assert.Equal(new FieldRange(5, 5, 1), watch.Follow(Request with { Field = Signed with { } }));
        Assert.Null(watch.Follow(Request with { Field = Signed with { Encoding = SignalEncoding.Unsigned } }));
        Assert.Null(watch.Follow(null));
        Assert.Null(watch.Follow(Request));
    }
}
