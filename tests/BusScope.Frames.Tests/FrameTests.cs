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
