using System.Numerics;
using BusScope.TestKit;
using CsCheck;
using Xunit;
using static BusScope.TestKit.CaptureBuilder;

namespace BusScope.Transport.Tests;

/// <summary>if_tsresol and if_tsoffset (draft-ietf-opsawg-pcapng, section 4.2) against arithmetic without limits.</summary>
public class TimeTests
{
    private static readonly Gen<ulong> Ticks = Gen.Frequency((2, Gen.ULong), (2, Gen.ULong[0, 4_000_000_000]), (1, Gen.OneOf(0UL, 1UL, ulong.MaxValue, (ulong)long.MaxValue)));

    private static readonly Gen<long> Offset = Gen.Frequency((3, Gen.Const(0L)), (2, Gen.Long[-10_000_000_000, 10_000_000_000]), (1, Gen.Long));

    // Nearest nanosecond, halves up; held at the ends of the range.
    private static (long Nanoseconds, bool Fits) Expected(byte resolution, long offset, ulong ticks)
    {
        var unit = resolution >= 0x80 ? BigInteger.Pow(2, resolution - 0x80) : BigInteger.Pow(10, resolution);
        var twice = (2 * new BigInteger(ticks) * 1_000_000_000) + unit;
        var exact = BigInteger.Divide(twice, 2 * unit) + (offset * new BigInteger(1_000_000_000));
        var held = BigInteger.Max(long.MinValue + 1, BigInteger.Min(long.MaxValue, exact));
        return ((long)held, held == exact);
    }

    [Fact]
    public void Ticks_of_any_resolution_and_offset_become_the_nearest_nanosecond() =>
        Gen.Select(Gen.Byte, Offset, Ticks.Array[1, 8], Gen.Bool).Sample((resolution, offset, ticks, big) =>
        {
            var b = new CaptureBuilder(big);
            b.Section().Interface("x", options: [b.Option(9, [resolution]), b.Option(14, b.U64(unchecked((ulong)offset)))]);
            foreach (var t in ticks)
            {
                b.Packet(0, t, Record(1, ""));
            }

            var (source, read) = Captures.Read(b);

            var expected = ticks.Select(t => Expected(resolution, offset, t)).ToList();
            Assert.Equal(expected.Select(e => e.Nanoseconds), read.Frames.Select(f => f.Time.Nanoseconds));
            Assert.Equal(expected.Count(e => !e.Fits), source.Problems.All.Where(p => p.Kind == CaptureProblems.TimeOutOfRange).Sum(p => p.Count));
        }, iter: 2000);

    [Theory]
    [InlineData(6, 1, 1_000)]
    [InlineData(9, 1, 1)]
    [InlineData(3, 1, 1_000_000)]
    [InlineData(0, 1, 1_000_000_000)]
    [InlineData(10, 4, 0)]
    [InlineData(10, 5, 1)]
    [InlineData(12, 1_499, 1)]
    [InlineData(12, 1_500, 2)]
    [InlineData(0x80 + 30, 1 << 30, 1_000_000_000)]
    [InlineData(0x80 + 10, 1, 976_563)]
    public void Ticks_are_rounded_to_the_nearest_nanosecond(byte resolution, ulong ticks, long nanoseconds)
    {
        var b = new CaptureBuilder();
        b.Section().Interface("x", options: b.Option(9, [resolution])).Packet(0, ticks, Record(1, ""));

        var (_, read) = Captures.Read(b);

        Assert.Equal(nanoseconds, read.Frames[0].Time.Nanoseconds);
    }

    [Fact]
    public void An_interface_without_a_resolution_counts_microseconds()
    {
        var (_, read) = Captures.Read(new CaptureBuilder().Section().Interface("x").Packet(0, 5, Record(1, "")));

        Assert.Equal(5_000, read.Frames[0].Time.Nanoseconds);
    }

    [Fact]
    public void The_fast_way_leaves_times_out_of_range_to_the_exact_way()
    {
        var b = new CaptureBuilder();
        b.Section().Interface("x");
        for (var i = 0; i < 1500; i++)
        {
            b.Packet(0, 1, Record(1, ""));
        }

        b.Packet(0, ulong.MaxValue, Record(1, "")).Packet(0, 9_223_372_036_854_775, Record(1, "")).Packet(0, 9_223_372_036_854_776, Record(1, ""));

        var (source, read) = Captures.Read(b);

        Assert.Equal([long.MaxValue, 9_223_372_036_854_775_000, long.MaxValue], read.Frames.Skip(1500).Select(f => f.Time.Nanoseconds));
        Assert.Equal(["time-out-of-range 2"], Captures.Problems(source));
    }
}
