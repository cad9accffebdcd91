using BusScope.Frames;
using BusScope.TestKit;
using CsCheck;
using Xunit;
using static BusScope.TestKit.CaptureBuilder;

namespace BusScope.Transport.Tests;

/// <summary>Captures that come in pieces, end anywhere, or were changed anywhere.</summary>
public class ArrivalTests
{
    private static readonly byte[] Pcapng = BuildPcapng(big: false);
    private static readonly byte[] PcapngBig = BuildPcapng(big: true);
    private static readonly byte[] Pcap = BuildPcap();

    private static byte[] BuildPcapng(bool big)
    {
        var b = new CaptureBuilder(big);
        b.Section(b.Option(1, "whole")).Interface("x", options: b.Option(9, [9])).Interface("any", 113).Block(99, new byte[40]);
        for (var i = 0; i < 40; i++)
        {
            b.Packet(0, (ulong)i, Record((uint)i, "0102030405060708"))
                .Packet(0, (ulong)i, Record(0x80000000u | (uint)i, new string('5', 2 * (i % 2 == 0 ? 64 : 12)), flags: 4), null, b.Option(1, $"note {i}"))
                .Packet(1, (ulong)i, b.Cooked(Record((uint)i, "0A")));
        }

        return b.Statistics(0, b.Option(5, b.U64(1))).Bytes;
    }

    private static byte[] BuildPcap()
    {
        var b = new CaptureBuilder().PcapHeader();
        for (var i = 0; i < 60; i++)
        {
            b.PcapRecord(i, i, Record((uint)i, i % 3 == 0 ? new string('5', 128) : "0102"));
        }

        return b.Bytes;
    }

    public static TheoryData<string> Files => [nameof(Pcapng), nameof(PcapngBig), nameof(Pcap)];

    private static byte[] File(string name) => name switch
    {
        nameof(Pcapng) => Pcapng,
        nameof(PcapngBig) => PcapngBig,
        _ => Pcap,
    };

    [Theory]
    [MemberData(nameof(Files))]
    public void Any_pieces_give_the_same_frames(string file)
    {
        var (whole, expected) = Captures.Read(File(file));

        Gen.Int[1, 100].Array[1, 20].Sample(sizes =>
        {
            var (source, read) = Captures.Read(new PiecewiseStream(File(file), sizes));

            Assert.Equal(expected.Lines, read.Lines);
            Assert.Equal(expected.Notes, read.Notes);
            Assert.Equal(Captures.Problems(whole), Captures.Problems(source));
            Assert.Equal(whole.Buses.Select(b => b.Name), source.Buses.Select(b => b.Name));
        });
    }

    [Theory]
    [MemberData(nameof(Files))]
    public void Every_beginning_of_a_file_gives_a_beginning_of_its_frames(string file)
    {
        var bytes = File(file);
        var all = Captures.Read(bytes).Read.Lines;

        for (var length = 4; length < bytes.Length; length++)
        {
            var (source, read) = Captures.Read(bytes[..length]);

            Assert.Equal(all.Take(read.Frames.Count), read.Lines);
            Assert.True(source.Problems.All.Count(p => p.Kind == CaptureProblems.CutShort) <= 1);
        }
    }

    [Fact]
    public void A_cut_in_the_last_record_is_a_problem_with_its_place_and_costs_only_that_record()
    {
        var (source, read) = Captures.Read(Pcap[..^1]);

        Assert.Equal(59, read.Frames.Count);
        Assert.Equal("capture-cut-short", Assert.Single(source.Problems.All).Kind.Code);
        Assert.Equal(Pcap.Length - 32, source.Problems.All[0].First.ByteOffset);
    }

    [Theory]
    [MemberData(nameof(Files))]
    public void Changed_bytes_never_crash_hang_or_fill_the_memory(string file)
    {
        var bytes = File(file);
        Gen.Select(Gen.Int[4, bytes.Length - 1], Gen.Byte).Array[1, 6].Sample(changes =>
        {
            var changed = (byte[])bytes.Clone();
            foreach (var (at, value) in changes)
            {
                changed[at] = value;
            }

            var before = GC.GetAllocatedBytesForCurrentThread();
            var (_, read) = Captures.Read(changed);

            Assert.True(read.Frames.Count <= bytes.Length / 24);
            Assert.True(GC.GetAllocatedBytesForCurrentThread() - before < 4_000_000);
        }, iter: 1000, threads: 1);
    }

    [Fact]
    public void A_stream_gives_the_frames_that_are_there_before_it_waits_for_more()
    {
        var first = new CaptureBuilder().Section().Interface("x").Packet(0, 1, Record(1, "")).Packet(0, 2, Record(2, ""));
        var firstLength = first.Length;
        var bytes = first.Packet(0, 3, Record(3, "")).Bytes;
        using var source = CaptureFile.Open(new PiecewiseStream(bytes, [firstLength + 5, 1000]), "stream");
        var batch = new FrameBatch();

        var state = source.Read(batch, TestContext.Current.CancellationToken);

        Assert.Equal((SourceState.Frames, 2, 1L), (state, batch.Count, batch.FirstNumber));
        Assert.Equal(SourceState.Frames, source.Read(batch, TestContext.Current.CancellationToken));
        Assert.Equal((1, 3L), (batch.Count, batch.FirstNumber));
        Assert.Equal(SourceState.Ended, source.Read(batch, TestContext.Current.CancellationToken));
        Assert.Equal(SourceState.Ended, source.Read(batch, TestContext.Current.CancellationToken));
    }

    [Fact]
    public void A_stream_that_fails_gives_its_frames_first_and_then_the_reason()
    {
        var bytes = new CaptureBuilder().Section().Interface("x").Packet(0, 1, Record(1, "")).Bytes;
        using var source = CaptureFile.Open(new FailingStream(bytes), "wire");
        var batch = new FrameBatch();

        Assert.Equal(SourceState.Frames, source.Read(batch, TestContext.Current.CancellationToken));
        var failure = Assert.Throws<SourceException>(() => source.Read(batch, TestContext.Current.CancellationToken));
        Assert.Equal($"wire: reading failed at byte {bytes.Length}: unplugged", failure.Message);
    }

    [Fact]
    public void Reading_allocates_nothing_per_frame()
    {
        var b = new CaptureBuilder();
        b.Section().Interface("x", options: b.Option(9, [9])).Interface("any", 113);
        for (var i = 0; i < 6000; i++)
        {
            // The fast way, the exact way by an option, cooked, and a fault that is counted.
            b.Packet(0, (ulong)i, Record((uint)i & 0x7FF, "0102030405060708"))
                .Packet(0, (ulong)i, Record(0x12, new string('5', 128), flags: 4), null, b.Option(2, b.U32(1)))
                .Packet(1, (ulong)i, b.Cooked(Record(0x12, "0A")))
                .Packet(0, (ulong)i, Record(0x40000012, "", flags: 1));
        }

        using var source = CaptureFile.Open(new MemoryStream(b.Bytes), "test");
        var batch = new FrameBatch();
        for (var i = 0; i < 20; i++)
        {
            _ = source.Read(batch, TestContext.Current.CancellationToken);
        }

        var frames = 0;
        var allocated = Allocation.Of(() =>
        {
            for (var i = 0; i < 5; i++)
            {
                _ = source.Read(batch, CancellationToken.None);
                frames += batch.Count;
            }
        });

        Assert.Equal(0, allocated);
        Assert.InRange(frames, 2_000, int.MaxValue);
    }

    private sealed class FailingStream(byte[] bytes) : MemoryStream(bytes)
    {
        public override int Read(byte[] buffer, int offset, int count) => base.Read(buffer, offset, count) is > 0 and var got ? got : throw new IOException("unplugged");
    }
}
