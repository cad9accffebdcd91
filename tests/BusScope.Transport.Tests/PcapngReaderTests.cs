using BusScope.Frames;
using BusScope.TestKit;
using Xunit;
using static BusScope.TestKit.CaptureBuilder;

namespace BusScope.Transport.Tests;

public class PcapngReaderTests
{
    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void Frames_of_every_kind_are_read_in_both_byte_orders(bool big)
    {
        var builder = new CaptureBuilder(big);
        builder.Section().Interface("engine", options: builder.Option(9, [9]))
            .Packet(0, 1_000, Record(0x123, "DEADBEEF01234567"))
            .Packet(0, 2_000, Record(0x98FEF100, "01"))
            .Packet(0, 3_000, Record(0x40000321, "", length: 4))
            .Packet(0, 4_000, Record(0x20000204, "0008000000006000"))
            .Packet(0, 5_000, Record(0x456, "000102030405060708090A0B", flags: 5))
            .Packet(0, 6_000, Record(0x9ABCDE01, new string('A', 96), flags: 7));

        var (source, read) = Captures.Read(builder);

        Assert.Equal(
            [
                "1000 bus 0 0x123 [8] None Unknown raw 0 DEADBEEF01234567",
                "2000 bus 0 0x18FEF100 [1] None Unknown raw 0 01",
                "3000 bus 0 0x321 [4] Remote Unknown raw 0 ",
                "4000 bus 0 0x204 [8] ErrorReport Unknown raw 0 0008000000006000",
                "5000 bus 0 0x456 [12] BitRateSwitch, FlexibleDataRate Unknown raw 0 000102030405060708090A0B",
                $"6000 bus 0 0x1ABCDE01 [48] BitRateSwitch, ErrorStateIndicator, FlexibleDataRate Unknown raw 0 {new string('A', 96)}",
            ],
            read.Lines);
        Assert.Empty(source.Problems.All);
        Assert.Equal("engine", Assert.Single(source.Buses).Name);
    }

    [Fact]
    public void A_bus_keeps_its_identity_by_name_across_sections_of_either_byte_order()
    {
        var first = new CaptureBuilder();
        first.Section().Interface("engine").Interface("body").Packet(0, 1, Record(1, "01")).Packet(1, 2, Record(2, "02"));
        var second = new CaptureBuilder(big: true);
        second.Section().Interface("body").Packet(0, 3, Record(3, "03"));

        var (source, read) = Captures.Read([.. first.Bytes, .. second.Bytes]);

        Assert.Equal(["engine", "body"], source.Buses.Select(b => b.Name));
        Assert.Equal([0, 1, 1], read.Frames.Select(f => (int)f.Bus));
    }

    [Fact]
    public void Unnamed_interfaces_are_called_by_number_and_never_like_a_named_one()
    {
        var builder = new CaptureBuilder().Section().Interface("bus1").Interface().Interface(" ")
            .Packet(0, 1, Record(1, "")).Packet(1, 1, Record(1, "")).Packet(2, 1, Record(1, ""));

        var (source, read) = Captures.Read(builder);

        Assert.Equal(["bus1", "bus1-2", "bus2"], source.Buses.Select(b => b.Name));
        Assert.Equal([0, 1, 2], read.Frames.Select(f => (int)f.Bus));
    }

    [Fact]
    public void An_interface_tells_its_bit_rate_description_and_comments()
    {
        var b = new CaptureBuilder();
        b.Section(b.Option(1, "a cold morning")).Interface("engine", options: [b.Option(3, "adapter on the left"), b.Option(8, b.U64(500_000)), b.Option(1, "first"), b.Option(1, "second")]);

        var (source, _) = Captures.Read(b);

        var bus = Assert.Single(source.Buses);
        Assert.Equal(("adapter on the left", 500_000), (bus.Description, bus.BitRate));
        Assert.Equal(["first", "second"], bus.Comments);
        Assert.Equal(["a cold morning"], source.Comments);
    }

    [Fact]
    public void Comments_and_direction_of_a_packet_are_kept()
    {
        var b = new CaptureBuilder();
        b.Section().Interface("x")
            .Packet(0, 1, Record(1, "01"), null, b.Option(2, b.U32(1)))
            .Packet(0, 2, Record(1, "01"), null, b.Option(1, "pedal pressed"), b.Option(2, b.U32(2)), b.Option(1, "again"));

        var (_, read) = Captures.Read(b);

        Assert.Equal([Direction.Received, Direction.Sent], read.Frames.Select(f => f.Direction));
        Assert.Equal(["2: pedal pressed", "2: again"], read.Notes);
    }

    [Fact]
    public void Simple_packets_belong_to_the_first_interface_and_take_the_time_of_the_frame_before()
    {
        var b = new CaptureBuilder().Section().Interface("x").Packet(0, 7, Record(1, "01")).SimplePacket(Record(2, "02"));

        var (source, read) = Captures.Read(b);

        Assert.Equal([7_000, 7_000], read.Frames.Select(f => f.Time.Nanoseconds));
        Assert.Equal(["frame-without-time 1"], Captures.Problems(source));
    }

    [Fact]
    public void Obsolete_packets_are_read_with_what_they_say_was_lost()
    {
        var b = new CaptureBuilder(big: true);
        b.Section().Interface("x").ObsoletePacket(0, 3, 5, Record(1, "01")).ObsoletePacket(0, 0xFFFF, 6, Record(2, "02"), b.Option(2, b.U32(2)));

        var (source, read) = Captures.Read(b);

        Assert.Equal(["5000 bus 0 0x001 [1] None Unknown raw 0 01", "6000 bus 0 0x002 [1] None Sent raw 0 02"], read.Lines);
        Assert.Equal(["recorder-dropped 3"], Captures.Problems(source));
    }

    [Fact]
    public void Losses_told_by_packets_and_statistics_are_not_counted_twice()
    {
        var b = new CaptureBuilder();
        b.Section().Interface("x").Interface("y")
            .Packet(0, 1, Record(1, ""), null, b.Option(4, b.U64(2)))
            .Statistics(0, b.Option(5, b.U64(4)), b.Option(7, b.U64(1)))
            .Statistics(1, b.Option(5, b.U64(10)))
            .Statistics(0, b.Option(5, b.U64(6)), b.Option(7, b.U64(1)));

        var (source, _) = Captures.Read(b);

        Assert.Equal(["recorder-dropped 17"], Captures.Problems(source));
        Assert.Equal("x", source.Problems.All[0].First.Bus);
    }

    [Fact]
    public void Names_are_skipped_and_unknown_blocks_are_skipped_and_counted()
    {
        var b = new CaptureBuilder().Section().Interface("x").Block(4, [0, 0, 0, 0]).Block(0x0BAD, [1, 2, 3, 4]).Block(77, []).Packet(0, 1, Record(1, ""));

        var (source, read) = Captures.Read(b);

        Assert.Single(read.Frames);
        Assert.Equal(["block-unknown 2"], Captures.Problems(source));
        Assert.Equal("block type 2989", source.Problems.All[0].Detail);
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void Cooked_packets_hold_frames_with_identifiers_in_the_order_of_their_writer(bool big)
    {
        var b = new CaptureBuilder(big);
        b.Section().Interface("any", 113)
            .Packet(0, 1, b.Cooked(Record(0x123, "0102")))
            .Packet(0, 2, b.Cooked(Record(0x98FEF180, "000102030405060708090A0B", size: 72), protocol: 0x0D, kind: 4))
            .Packet(0, 3, b.Cooked(Record(0, "00"), protocol: 0x0E))
            .Packet(0, 4, b.Cooked(Record(0, "00"), protocol: 0x0800));

        var (source, read) = Captures.Read(b);

        Assert.Equal(
            [
                "1000 bus 0 0x123 [2] None Received raw 0 0102",
                "2000 bus 0 0x18FEF180 [12] FlexibleDataRate Sent raw 0 000102030405060708090A0B",
            ],
            read.Lines);
        Assert.Equal(["can-xl 1", "packet-other 1"], Captures.Problems(source));
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void The_second_cooked_form_tells_the_kernel_interfaces_apart(bool big)
    {
        var b = new CaptureBuilder(big);
        b.Section().Interface("any", 276)
            .Packet(0, 1, b.Cooked2(Record(0x123, "01"), number: 3))
            .Packet(0, 2, b.Cooked2(Record(0x124, "02"), number: 7, kind: 4))
            .Packet(0, 3, b.Cooked2(Record(0x125, "03"), number: 3));

        var (source, read) = Captures.Read(b);

        Assert.Equal(["any.3", "any.7"], source.Buses.Select(bus => bus.Name));
        Assert.Equal([0, 1, 0], read.Frames.Select(f => (int)f.Bus));
        Assert.Equal([Direction.Received, Direction.Sent, Direction.Received], read.Frames.Select(f => f.Direction));
        Assert.Equal(0x123u, read.Frames[0].Id.Value);
    }

    [Fact]
    public void Interfaces_and_packets_of_other_networks_are_counted_and_make_no_bus()
    {
        var b = new CaptureBuilder().Section().Interface("net", 1).Interface("x").Packet(0, 1, new byte[60]).Packet(0, 2, new byte[60]).Packet(1, 3, Record(1, "")).Packet(9, 4, Record(1, ""));

        var (source, read) = Captures.Read(b);

        Assert.Equal(["x"], source.Buses.Select(bus => bus.Name));
        Assert.Equal([0], read.Frames.Select(f => (int)f.Bus));
        Assert.Equal(["interface-other 1", "packet-other 2", "packet-of-unknown-interface 1"], Captures.Problems(source));
    }

    [Fact]
    public void The_fast_way_and_the_exact_way_give_the_same_frames()
    {
        // Beyond 1,000 frames the plain blocks take the fast way; an empty comment sends a block the exact way.
        var (plain, exact) = (new CaptureBuilder(), new CaptureBuilder());
        var random = new Random(7);
        foreach (var b in (CaptureBuilder[])[plain, exact])
        {
            b.Section().Interface("x", options: b.Option(9, [7])).Interface("y", options: [b.Option(14, b.U64(unchecked((ulong)-5))), b.Option(9, [9])]);
        }

        for (var i = 0; i < 3000; i++)
        {
            var word = (uint)random.NextInt64() & 0x7FF;
            word = (i % 7) switch { 0 => 0x80000000 | (uint)random.Next(0x20000000), 1 => 0x20000000 | (word & 0x3FF), 2 => word | 0x40000000, _ => word };
            var length = i % 7 == 1 ? 8 : i % 11 == 0 && i % 7 > 2 ? 48 : random.Next(9);
            var data = new byte[length];
            random.NextBytes(data);
            var record = Record(word, i % 7 == 2 ? "" : Convert.ToHexString(data), flags: length > 8 ? i % 4 : 0, length: length, rawCode: i % 13 == 0 ? 9 : 0);
            plain.Packet(i % 2, (ulong)i * 12345, record);
            exact.Packet(i % 2, (ulong)i * 12345, record, null, exact.Option(2988, "skipped"));
        }

        var (fast, slow) = (Captures.Read(plain), Captures.Read(exact));

        Assert.Equal(3000, fast.Read.Frames.Count);
        Assert.Equal(slow.Read.Lines, fast.Read.Lines);
        Assert.Equal(Captures.Problems(slow.Source), Captures.Problems(fast.Source));
    }
}
