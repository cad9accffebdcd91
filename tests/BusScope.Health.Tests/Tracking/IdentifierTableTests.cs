using BusScope.Frames;
using BusScope.Health.Tracking;
using CsCheck;
using Xunit;

namespace BusScope.Health.Tests.Tracking;

public sealed class IdentifierTableTests
{
    private static readonly Gen<(int Bus, CanId Id)> key =
        from bus in Gen.OneOf(Gen.Int[0, 3], Gen.Int[0, ushort.MaxValue])
        from value in Gen.OneOf(Gen.UInt[0, 40], Gen.UInt[0, CanId.LargestExtended])
        from isExtended in Gen.Bool
        select (bus, new CanId(value, isExtended));

    [Fact]
    public void Every_identifier_of_every_bus_and_format_has_its_own_number_and_others_have_none() =>
        Gen.Select(key.Array[0, 3_000], key.Array[0, 100]).Sample((added, others) =>
        {
            var table = new IdentifierTable();
            var model = new Dictionary<(int, CanId), int>();
            foreach (var each in added)
            {
                if (model.TryAdd(each, model.Count))
                {
                    table.Add(Origin(each.Bus, each.Id), model.Count - 1);
                }
            }

            foreach (var each in added.Concat(others))
            {
                Assert.Equal(model.GetValueOrDefault(each, -1), table.Find(Origin(each.Bus, each.Id)));
            }
        },
        iter: 60);

    [Theory]
    [InlineData(FrameKinds.Remote)]
    [InlineData(FrameKinds.ErrorReport)]
    public void What_is_no_data_frame_has_no_number_though_its_identifier_has(FrameKinds kinds)
    {
        var table = new IdentifierTable();
        table.Add(Origin(1, new CanId(0x123, isExtended: false)), 0);

        Assert.Equal(-1, table.Find(Origin(1, new CanId(0x123, isExtended: false), kinds)));
    }

    private static ulong Origin(int bus, CanId id, FrameKinds kinds = FrameKinds.None)
    {
        var frame = default(Frame);
        frame.SetClassic(new FrameTime(1), (ushort)bus, id, kinds, 8, 0);
        return frame.Origin;
    }

    [Fact]
    public void The_largest_number_of_tracks_has_room()
    {
        var table = new IdentifierTable();
        for (var i = 0; i < HealthMonitor.LargestTracks; i++)
        {
            table.Add(Origin(i & 0xF, new CanId((uint)i, isExtended: true)), i);
        }

        Assert.All(Enumerable.Range(0, HealthMonitor.LargestTracks), i => Assert.Equal(i, table.Find(Origin(i & 0xF, new CanId((uint)i, isExtended: true)))));
        Assert.Equal(-1, table.Find(Origin(0, new CanId(1, isExtended: true))));
    }
}
