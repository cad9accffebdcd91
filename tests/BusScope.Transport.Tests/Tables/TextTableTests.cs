using System.Text;
using BusScope.Frames;
using BusScope.TestKit;
using BusScope.Transport.Tables;
using Xunit;

namespace BusScope.Transport.Tests.Tables;

public class TextTableTests
{
    private const string Header = "time_us,id,extended,bus,length,d0,d1,d2,d3,d4,d5,d6,d7\n";

    [Theory]
    [InlineData("time_us,id,extended,bus,length,d0,d1,d2\n1500,1A0,0,0,3,01,02,FF\n")]
    [InlineData("\uFEFFTime [us];Identifier;Ext;Channel;LEN;D1;D2;D3\r\n1500;0x1A0;false;0;3;01;02;FF\r\n")]
    [InlineData("time_ms\tcan id\tide\tbus\tdlc\tdata\n1.5\t1a0\tno\t0\t3\t01 02 ff\n")]
    [InlineData("time_s id extended bus length data\n0.001500   1A0  0 0   3  01 02 FF\n")]
    [InlineData("data,\"time (ns)\",id,ext,bus\n\"0102FF\",1500000,\"1A0\",std,0")]
    [InlineData("# made by hand\n\ntime_us,id,note,extended,bus,data\n1500,1A0,\"a, \"\"b\"\"\",n,0,0x01-0x02-0xFF,\n")]
    [InlineData("timestamp_us|x\ntime_us,id,extended,bus,data\n", true)]
    public void A_header_with_understandable_names_just_works(string text, bool isRefused = false)
    {
        if (isRefused)
        {
            Assert.Throws<SourceException>(() => Read(text));
            return;
        }

        var (frames, source) = Read(text);

        var frame = Assert.Single(frames);
        Assert.Equal(1_500_000, frame.Time.Nanoseconds);
        Assert.Equal(new CanId(0x1A0, false), frame.Id);
        Assert.Equal("0", source.Buses[frame.Bus].Name);
        Assert.Equal([0x01, 0x02, 0xFF], frame.Data.ToArray());
        Assert.DoesNotContain(source.Problems.All, p => p.Kind != TableProblems.ColumnsIgnored);
    }

    [Theory]
    [InlineData("row-too-few-columns", "1,1A0,0")]
    [InlineData("row-too-many-columns", "1,1A0,0,0,8,1,2,3,4,5,6,7,8,9")]
    [InlineData("row-time-not-a-number", "soon,1A0,0,0,0")]
    [InlineData("row-time-not-a-number", "1.2.3,1A0,0,0,0")]
    [InlineData("row-time-not-a-number", "-,1A0,0,0,0")]
    [InlineData("row-time-not-a-number", "99999999999999999999,1A0,0,0,0")]
    [InlineData("row-time-not-a-number", "9223372036854775807,1A0,0,0,0")]
    [InlineData("row-id-not-a-number", "1,1G0,0,0,0")]
    [InlineData("row-id-not-a-number", "1,,0,0,0")]
    [InlineData("row-id-not-a-number", "1,-1,0,0,0")]
    [InlineData("row-id-too-large", "1,20000000,1,0,0")]
    [InlineData("row-length-not-a-number", "1,1A0,0,0,x")]
    [InlineData("row-length-too-large", "1,1A0,0,0,65")]
    [InlineData("row-data-not-hex", "1,1A0,0,0,1,XY")]
    [InlineData("row-data-not-hex", "1,1A0,0,0,1,100")]
    [InlineData("row-data-gap", "1,1A0,0,0,1,,11")]
    [InlineData("row-length-disagrees", "1,1A0,0,0,3,11,22")]
    [InlineData("row-length-disagrees", "1,1A0,0,0,1,11,22")]
    [InlineData("row-flag-not-understood", "1,1A0,maybe,0,0")]
    [InlineData("row-bus-not-understood", "1,1A0,0,,0")]
    [InlineData("row-quote-open", "1,\"1A0,0,0,0")]
    public void A_bad_row_is_counted_with_its_line_and_the_good_ones_are_delivered(string code, string row)
    {
        var (frames, source) = Read($"{Header}0,100,0,0,1,AA\n\n{row}\n{row}\n5,101,0,0,1,BB\n");

        Assert.Equal([0x100u, 0x101u], frames.Select(f => f.Id.Value));
        var problem = Assert.Single(source.Problems.All);
        Assert.Equal(code, problem.Kind.Code);
        Assert.Equal(2, problem.Count);
        Assert.Equal(4, problem.First.Line);
        Assert.Equal(row, problem.Detail);
    }

    [Fact]
    public void Flags_and_directions_are_taken_over()
    {
        var (frames, source) = Read("""
            time_s,id,ext,fd,brs,esi,rtr,error,dir,dlc,data
            0.1,18FEF100,1,1,1,1,0,0,Rx,9,000102030405060708090A0B
            0.2,123,0,0,0,0,1,0,tx,4,
            0.3,123,0,0,0,0,0,0,,15,0001020304050607
            0.4,,0,0,0,0,0,1,R,0,
            """);

        Assert.Empty(source.Problems.All);
        Assert.Equal(FrameKinds.FlexibleDataRate | FrameKinds.BitRateSwitch | FrameKinds.ErrorStateIndicator, frames[0].Kinds);
        Assert.Equal(new CanId(0x18FEF100, true), frames[0].Id);
        Assert.Equal(12, frames[0].Data.Length);
        Assert.Equal(Direction.Received, frames[0].Direction);
        Assert.Equal((FrameKinds.Remote, 4, Direction.Sent), (frames[1].Kinds, frames[1].Length, frames[1].Direction));
        Assert.Equal((8, 15, Direction.Unknown), (frames[2].Length, frames[2].RawLengthCode, frames[2].Direction));
        Assert.True(frames[3].IsErrorReport);
    }

    [Fact]
    public void What_stood_in_the_row_before_does_not_shine_through()
    {
        var (frames, _) = Read($"{Header}0,100,0,0,8,1,2,3,4,5,6,7,8\n1,100,0,0,1,AA\n2,100,0,0,0\n");

        Assert.Equal(0xAAUL, frames[1].FirstEight);
        Assert.Equal(0UL, frames[2].FirstEight);
    }

    [Fact]
    public void An_identifier_too_large_for_eleven_bits_is_kept_as_it_came()
    {
        var (frames, _) = Read($"{Header}0,00000FFF,false,0,0\n");

        Assert.Equal(new CanId(0xFFF, false), frames[0].Id);
        Assert.False(frames[0].Id.Fits);
    }

    [Theory]
    [InlineData("0\n500\n1100\n1700", FrameSpan.NanosecondsPerMicrosecond)]
    [InlineData("0\n1\n3\n4", FrameSpan.NanosecondsPerMillisecond)]
    [InlineData("0\n500000\n1100000\n1700000", 1)]
    [InlineData("0.0\n0.0005\n0.0011", FrameSpan.NanosecondsPerSecond)]
    [InlineData("0.0\n1.25\n2.5", FrameSpan.NanosecondsPerMillisecond)]
    [InlineData("1700000000.000100\n1700000000.000200", FrameSpan.NanosecondsPerSecond)]
    [InlineData("1700000000000\n1700000000001", FrameSpan.NanosecondsPerMillisecond)]
    [InlineData("1700000000000000\n1700000000000500", FrameSpan.NanosecondsPerMicrosecond)]
    [InlineData("1700000000000000000\n1700000000000500000", 1)]
    [InlineData("1953613500", FrameSpan.NanosecondsPerMicrosecond)]
    public void A_time_unit_that_nothing_names_is_inferred_and_said_so(string times, long unit)
    {
        var (frames, source) = Read("time,id,ext,len\n" + string.Concat(times.Split('\n').Select(t => t + ",1A0,0,0\n")));

        var problem = Assert.Single(source.Problems.All);
        Assert.Equal(TableProblems.TimeUnitInferred, problem.Kind);
        Assert.Equal((long)(decimal.Parse(times.Split('\n')[^1], System.Globalization.CultureInfo.InvariantCulture) * unit), frames[^1].Time.Nanoseconds);
    }

    [Fact]
    public void Identifiers_that_are_never_hexadecimal_are_said_to_look_decimal()
    {
        var (_, source) = Read("time_ms,id,ext,len\n" + string.Concat(Enumerable.Range(0, 40).Select(i => $"{i},{100 + i},0,0\n")));

        Assert.Equal(TableProblems.IdsLookDecimal, Assert.Single(source.Problems.All).Kind);
    }

    [Fact]
    public void Without_a_column_for_it_the_format_of_the_identifier_is_inferred_and_said_so()
    {
        var (frames, source) = Read("time_ms,id,len\n1,7FF,0\n2,800,0\n");

        Assert.Equal([false, true], frames.Select(f => f.Id.IsExtended));
        Assert.Equal(TableProblems.IdFormatInferred, Assert.Single(source.Problems.All).Kind);
    }

    [Theory]
    [InlineData("")]
    [InlineData("\n\n")]
    [InlineData("a,b,c\n1,2,3\n")]
    [InlineData("time,id\n1,2\n")]
    [InlineData("time,id,d0,d2\n1,2,3,4\n")]
    [InlineData("\uFFFEt\0i\0")]
    public void What_is_no_table_is_refused_in_one_sentence(string text)
    {
        var fault = Assert.Throws<SourceException>(() => Read(text));

        Assert.StartsWith("test: ", fault.Message, StringComparison.Ordinal);
        Assert.DoesNotContain('\n', fault.Message);
    }

    [Fact]
    public void A_gigabyte_without_a_line_end_costs_a_bounded_buffer()
    {
        var before = GC.GetAllocatedBytesForCurrentThread();

        var fault = Assert.Throws<SourceException>(() => TextTable.Open(new ManyBytes(1L << 30, (byte)'x'), "test", null));

        Assert.InRange(GC.GetAllocatedBytesForCurrentThread() - before, 0, 1 << 20);
        Assert.Contains("longer than", fault.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_row_too_long_is_counted_and_the_next_one_is_read()
    {
        var (frames, source) = Read($"{Header}0,100,0,0,0\n{new string('7', 600_000)}\n5,101,0,0,0\n");

        Assert.Equal(2, frames.Count);
        var problem = Assert.Single(source.Problems.All);
        Assert.Equal((TableProblems.RowTooLong, 3L), (problem.Kind, problem.First.Line!.Value));
    }

    [Fact]
    public void Names_of_buses_are_cleaned_and_bounded()
    {
        var (frames, source) = Read("time_ms,id,ext,bus,len\n1,1,0,\u001B[31mred,0\n" + string.Concat(Enumerable.Range(0, 300).Select(i => $"{i},1,0,b{i},0\n")));

        Assert.Equal("\\u001B[31mred", source.Buses[0].Name);
        Assert.Equal(256, source.Buses.Count);
        Assert.Equal(256, frames.Count);
        Assert.Equal((TableProblems.TooManyBuses, 45L), (source.Problems.All[^1].Kind, source.Problems.All[^1].Count));
    }

    [Fact]
    public void Reading_rows_allocates_nothing()
    {
        var text = Encoding.UTF8.GetBytes(Header + string.Concat(Enumerable.Range(0, 20_000).Select(i => $"{i * 500},{i % 2048:X8},false,{i % 2},8,00,11,22,33,44,55,66,{i % 256:X2}\n")));
        using var source = TextTable.Open(new MemoryStream(text), "test", null);
        var batch = new FrameBatch();
        var frames = 0;

        var allocated = Allocation.Of(() => Read(8));

        Read(int.MaxValue);
        Assert.Equal((0, 20_000), (allocated, frames));

        void Read(int turns)
        {
            for (var i = 0; i < turns && source.Read(batch, CancellationToken.None) == SourceState.Frames; i++)
            {
                frames += batch.Count;
            }
        }
    }

    [Fact]
    public void Any_fragmentation_of_the_stream_gives_the_same_frames()
    {
        var text = Header + string.Concat(Enumerable.Range(0, 50).Select(i => $"{i},1A0,0,0,2,{i:X2},FF\r\n"));
        var (whole, _) = Read(text);

        foreach (var size in (int[])[1, 2, 7, 4096])
        {
            var (frames, _) = Drain(TextTable.Open(new SlowStream(Encoding.UTF8.GetBytes(text), size), "test", null));
            Assert.Equal(whole.Select(f => (f.Time, f.FirstEight)), frames.Select(f => (f.Time, f.FirstEight)));
        }
    }

    [Fact]
    public void A_stream_that_breaks_gives_what_was_readable_first()
    {
        var source = TextTable.Open(new BreakingStream(Encoding.UTF8.GetBytes(Header + string.Concat(Enumerable.Range(0, 20_000).Select(i => $"{i},1A0,0,0,0\n")))), "test", null);
        var batch = new FrameBatch();
        var frames = 0L;

        var fault = Assert.Throws<SourceException>(() =>
        {
            while (source.Read(batch, CancellationToken.None) == SourceState.Frames)
            {
                frames += batch.Count;
            }
        });

        Assert.InRange(frames, 19_999, 20_000);
        Assert.Contains("line", fault.Message, StringComparison.Ordinal);
    }

    internal static (List<Frame> Frames, IFrameSource Source) Read(string text, TextTableProfile? profile = null) =>
        Drain(TextTable.Open(new MemoryStream(text.StartsWith('\uFFFE') ? [0xFF, 0xFE, 0x41, 0] : Encoding.UTF8.GetBytes(text)), "test", profile));

    internal static (List<Frame> Frames, IFrameSource Source) Drain(IFrameSource source)
    {
        var frames = new List<Frame>();
        var batch = new FrameBatch();
        while (source.Read(batch, TestContext.Current.CancellationToken) == SourceState.Frames)
        {
            frames.AddRange(batch.Frames);
        }

        return (frames, source);
    }

    private sealed class SlowStream(byte[] bytes, int most) : MemoryStream(bytes)
    {
        public override int Read(byte[] buffer, int offset, int count) => base.Read(buffer, offset, Math.Min(count, most));
    }

    private sealed class BreakingStream(byte[] bytes) : MemoryStream(bytes)
    {
        public override int Read(byte[] buffer, int offset, int count) => base.Read(buffer, offset, count) is > 0 and var read ? read : throw new IOException("cable gone");
    }

    /// <summary>So many times the same byte.</summary>
    private sealed class ManyBytes(long length, byte value) : MemoryStream
    {
        private long given;

        public override int Read(byte[] buffer, int offset, int count)
        {
            var now = (int)Math.Min(count, length - given);
            buffer.AsSpan(offset, now).Fill(value);
            given += now;
            return now;
        }
    }
}
