using System.Runtime.CompilerServices;
using BusScope.TestKit;
using CsCheck;
using Xunit;

namespace BusScope.Frames.Tests;

public class FrameTests
{
    [Fact]
    public void A_frame_takes_eighty_bytes() => Assert.Equal(80, Unsafe.SizeOf<Frame>());

    [Fact]
    public void A_frame_gives_back_what_was_set() =>
        (from length in Gen.Int[0, 64]
         from data in Gen.Byte.Array[length]
         from id in Gen.UInt[0, CanId.LargestExtended]
         from extended in Gen.Bool
         from time in Gen.Long
         from bus in Gen.UShort
         from kinds in Gen.Int[0, 15]
         select (time, bus, new CanId(id, extended), (FrameKinds)kinds, data)).Sample((time, bus, id, kinds, data) =>
        {
            // What stood here before must not shine through.
            var frame = Some.Frame(0x7FF, new string('F', 128), kinds: FrameKinds.Remote | FrameKinds.ErrorReport);
            frame.Direction = Direction.Sent;
            frame.RawLengthCode = 13;

            frame.Set(new FrameTime(time), bus, id, kinds, data);

            Assert.Equal(time, frame.Time.Nanoseconds);
            Assert.Equal(bus, frame.Bus);
            Assert.Equal(id, frame.Id);
            Assert.Equal(kinds, frame.Kinds);
            Assert.Equal(data, frame.Data.ToArray());
            Assert.Equal(0, frame.RawLengthCode);
            Assert.Equal(Direction.Unknown, frame.Direction);
            Assert.True(frame.Room[data.Length..((data.Length + 7) & ~7)].IndexOfAnyExcept((byte)0) < 0);
        });

    [Theory]
    [InlineData(0, 0UL)]
    [InlineData(1, 0x88UL)]
    [InlineData(7, 0x22334455667788UL)]
    [InlineData(8, 0x1122334455667788UL)]
    public void The_fast_way_clears_what_lies_behind_the_length(byte length, ulong expected)
    {
        var frame = default(Frame);

        frame.SetClassic(default, 0, new CanId(1, false), FrameKinds.None, length, 0x1122334455667788);

        Assert.Equal(expected, frame.FirstEight);
        Assert.Equal(length, frame.Data.Length);
    }

    [Fact]
    public void A_record_of_the_kernels_layout_makes_the_frame_that_its_parts_make() =>
        Gen.Select(Gen.Long, Gen.UShort, Gen.UInt[0, CanId.LargestExtended], Gen.Bool, Gen.Bool, Gen.Byte.Array[0, 8]).Sample((time, bus, value, isExtended, isError, data) =>
        {
            var id = new CanId(value, isExtended);
            var (expected, frame) = (default(Frame), default(Frame));
            expected.Set(new FrameTime(time), bus, id, isError ? FrameKinds.ErrorReport : FrameKinds.None, data);

            // include/uapi/linux/can.h: CAN_EFF_FLAG is bit 31, CAN_ERR_FLAG bit 29.
            frame.SetRecord(new FrameTime(time), bus, value | (isExtended ? 1u << 31 : 0) | (isError ? 1u << 29 : 0), (byte)data.Length, BitConverter.ToUInt64([.. data, .. Enumerable.Repeat((byte)0xA5, 8 - data.Length)]));

            Assert.Equal((expected.Time, expected.Bus, expected.Id, expected.Kinds, expected.Length), (frame.Time, frame.Bus, frame.Id, frame.Kinds, frame.Length));
            Assert.Equal(data, frame.Data.ToArray());
            Assert.Equal(expected.FirstEight, frame.FirstEight);
            Assert.Equal(Direction.Unknown, frame.Direction);
        });

    [Fact]
    public void Two_frames_have_the_same_origin_exactly_when_bus_identifier_and_marks_are_the_same()
    {
        var any = from time in Gen.Long
                  from bus in Gen.UShort[0, 2]
                  from value in Gen.UInt[0, 2]
                  from isExtended in Gen.Bool
                  from kinds in Gen.Enum<FrameKinds>()
                  from data in Gen.Byte.Array[0, 8]
                  from direction in Gen.Enum<Direction>()
                  select (Made: new FrameTime(time), bus, Id: new CanId(value, isExtended), kinds, data, direction);
        Gen.Select(any, any).Sample((left, right) =>
        {
            var same = left.bus == right.bus && left.Id == right.Id && Marks(left.kinds) == Marks(right.kinds);
            var (one, other) = (Frame(left), Frame(right));

            Assert.Equal(same, one.Origin == other.Origin);
            Assert.Equal(0UL, one.Origin & 0xFFFF);
        });

        static FrameKinds Marks(FrameKinds kinds) => kinds & (FrameKinds.Remote | FrameKinds.ErrorReport);

        static Frame Frame((FrameTime Made, ushort Bus, CanId Id, FrameKinds Kinds, byte[] Data, Direction Direction) of)
        {
            var frame = default(Frame);
            frame.Set(of.Made, of.Bus, of.Id, of.Kinds, of.Data);
            frame.Direction = of.Direction;
            return frame;
        }
    }

    [Fact]
    public void The_bus_can_be_set_by_itself()
    {
        var frame = Some.Frame(0x7FF, "0011223344556677");
        (frame.Bus, frame.Direction, frame.RawLengthCode) = (ushort.MaxValue, Direction.Sent, 12);

        frame.Bus = 0x1234;

        Assert.Equal((0x1234, 0x7FFu, 8, Direction.Sent, 12), (frame.Bus, frame.Id.Value, frame.Length, frame.Direction, frame.RawLengthCode));
    }

    [Theory]
    [InlineData(0, 0)]
    [InlineData(8, 0)]
    [InlineData(9, 9)]
    [InlineData(15, 15)]
    public void A_raw_length_code_above_eight_is_kept(byte code, byte expected)
    {
        var frame = Some.Frame(1, "0011223344556677");
        frame.Direction = Direction.Received;

        frame.RawLengthCode = code;

        Assert.Equal(expected, frame.RawLengthCode);
        Assert.Equal(Direction.Received, frame.Direction);
        Assert.Equal(FrameKinds.None, frame.Kinds);
    }
}
