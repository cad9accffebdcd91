using BusScope.Frames;
using BusScope.Session.Readings;
using BusScope.TestKit;
using Xunit;

namespace BusScope.Health.Tests.Session;

public sealed class RecentRowsTests
{
    private const int RowsOfABlock = 512;

    [Fact]
    public void Rows_of_the_last_ten_seconds_are_kept_and_older_ones_give_their_block_back()
    {
        var rows = Filled(new RowRoom(), frames: 40 * RowsOfABlock, milliseconds: 5);

        var first = rows.Blocks().First().Times[0];
        Assert.InRange((rows.Newest!.Times[^1] - first) / 1e9, 10, 10 + (2 * 2.56));
    }

    [Fact]
    public void A_message_that_comes_too_often_has_at_most_32_full_blocks()
    {
        var rows = Filled(new RowRoom(), frames: 200 * RowsOfABlock, milliseconds: 0.1);

        Assert.Equal(32, rows.Blocks().Count());
    }

    [Fact]
    public void Where_the_common_room_is_used_up_a_message_keeps_one_block_and_goes_on()
    {
        var room = new RowRoom();
        while (room.Has(Payload.Capacity))
        {
            _ = room.Block(Payload.Capacity);
        }

        var rows = Filled(room, frames: 10 * RowsOfABlock, milliseconds: 1);

        Assert.Single(rows.Blocks());
        Assert.Equal((10 * RowsOfABlock) - 1, rows.Newest!.Times[^1] / 1_000_000);
    }

    [Fact]
    public void Short_blocks_that_long_ones_replace_give_their_room_back()
    {
        var room = new RowRoom();
        var rows = Filled(room, frames: 30 * RowsOfABlock, milliseconds: 0.1);
        var last = rows.Newest!.Times[^1] / 1e6;
        for (var i = 0; i < 40 * RowsOfABlock; i++)
        {
            Add(rows, Some.Frame(1, new string('0', 24), last + 20_000 + (i * 5), kinds: FrameKinds.FlexibleDataRate));
        }

        // What is held, in room for long blocks: as much as is missing of a room that nobody used.
        var held = rows.Blocks().Sum(block => block.Stride == Payload.Capacity ? 1 : 0.25);
        Assert.All(rows.Blocks(), block => Assert.Equal(Payload.Capacity, block.Stride));
        Assert.Equal(held, Left(new RowRoom()) - Left(room));

        static int Left(RowRoom of)
        {
            var left = 0;
            for (; of.Has(Payload.Capacity); left++)
            {
                _ = of.Block(Payload.Capacity);
            }

            return left;
        }
    }

    private static RecentRows Filled(RowRoom room, int frames, double milliseconds)
    {
        var rows = new RecentRows(room);
        for (var i = 0; i < frames; i++)
        {
            Add(rows, Some.Frame(1, "0102030405060708", i * milliseconds));
        }

        return rows;
    }

    private static void Add(RecentRows rows, in Frame frame)
    {
        if (!rows.Takes(frame))
        {
            rows.Turn(frame);
        }

        rows.Add(frame);
    }
}
