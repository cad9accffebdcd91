using System.IO.Compression;
using System.IO.Pipes;
using BusScope.Frames;
using BusScope.TestKit;
using BusScope.Transport.Streams;
using CsCheck;
using Xunit;
using ZstdSharp;
using static BusScope.TestKit.CaptureBuilder;

namespace BusScope.Transport.Tests.Streams;

/// <summary>Captures that come through a pipe of the kernel while somebody reads.</summary>
public sealed class StreamSourceTests : IDisposable
{
    private readonly AnonymousPipeServerStream sender = new(PipeDirection.Out);
    private readonly AnonymousPipeClientStream receiver;

    public StreamSourceTests() => receiver = new AnonymousPipeClientStream(PipeDirection.In, sender.ClientSafePipeHandle);

    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    private static byte[] Head => new CaptureBuilder().Section().Interface("chassis").Bytes;

    private static byte[] Packet(uint id) => new CaptureBuilder().Packet(0, id, Record(id, "0102")).Bytes;

    public void Dispose() => sender.Dispose();

    // Turns of 50 ms each until frames come, so that a slow machine has all the time it needs.
    private static List<uint> Next(StreamSource source)
    {
        var batch = new FrameBatch();
        for (var turn = 0; turn < 400; turn++)
        {
            if (source.Read(batch, Cancellation) == SourceState.Frames)
            {
                return [.. batch.Frames.ToArray().Select(frame => frame.Id.Value)];
            }
        }

        return [];
    }

    [Fact]
    public void Frames_are_given_as_soon_as_their_bytes_are_there_and_in_between_the_stream_is_idle()
    {
        sender.Write([.. Head, .. Packet(1), .. Packet(2)]);
        using var source = new StreamSource(receiver, "pipe");
        var batch = new FrameBatch();

        Assert.Equal([1, 2], Next(source));
        Assert.Equal(SourceState.Idle, source.Read(batch, Cancellation));
        sender.Write(Packet(3));
        Assert.Equal([3], Next(source));
        Assert.Equal(SourceState.Idle, source.Read(batch, Cancellation));
        Assert.Equal((SourceClock.Theirs, "pcapng", "chassis"), (source.Clock, source.Format, source.Buses[0].Name));
    }

    [Fact]
    public void A_block_of_which_a_part_has_come_waits_for_the_rest()
    {
        var packet = Packet(1);
        sender.Write([.. Head, .. packet[..20]]);
        using var source = new StreamSource(receiver, "pipe");
        Assert.Equal(SourceState.Idle, source.Read(new FrameBatch(), Cancellation));

        sender.Write(packet.AsSpan(20));

        Assert.Equal([1], Next(source));
    }

    [Theory]
    [InlineData("gzip")]
    [InlineData("zstd")]
    public void So_it_is_inside_compression_that_is_handed_on_in_time(string compression)
    {
        using Stream compressed = compression == "gzip" ? new GZipStream(sender, CompressionLevel.Fastest) : new CompressionStream(sender);
        compressed.Write([.. Head, .. Packet(1)]);
        compressed.Flush();
        using var source = new StreamSource(receiver, "pipe");

        Assert.Equal([1], Next(source));
        compressed.Write(Packet(2));
        compressed.Flush();
        Assert.Equal([2], Next(source));
    }

    [Fact]
    public void The_end_of_the_stream_is_the_end()
    {
        sender.Write([.. Head, .. Packet(1)]);
        sender.Dispose();
        using var source = new StreamSource(receiver, "pipe");

        var read = ReadFrames.From(source, Cancellation);

        Assert.Single(read.Frames);
        Assert.Empty(source.Problems.All);
        Assert.Equal(1, source.Progress);
    }

    [Fact]
    public void A_stream_that_breaks_in_the_middle_of_a_block_says_so()
    {
        sender.Write([.. Head, .. Packet(1), .. Packet(2)[..20]]);
        sender.Dispose();
        using var source = new StreamSource(receiver, "pipe");

        Assert.Single(ReadFrames.From(source, Cancellation).Frames);
        Assert.Equal(["capture-cut-short 1"], Captures.Problems(source));
    }

    [Fact]
    public void A_stream_that_brings_nothing_yet_is_idle()
    {
        using var source = new StreamSource(receiver, "pipe");
        Assert.Equal(SourceState.Idle, source.Read(new FrameBatch(), Cancellation));
        Assert.Empty(source.Buses);

        sender.Write([.. Head, .. Packet(1)]);

        Assert.Equal([1], Next(source));
    }

    [Theory]
    [InlineData("", "pipe: is empty")]
    [InlineData("00010203040506", "pipe: is of an unknown kind; pcapng, pcap and text tables are read, also inside gzip or zstd")]
    public void What_is_no_capture_is_told_at_once(string hex, string message)
    {
        sender.Write(Some.Bytes(hex));
        sender.Dispose();

        Assert.Equal(message, Assert.Throws<SourceException>(() => new StreamSource(receiver, "pipe")).Message);
    }

    [Fact]
    public void What_turns_out_to_be_no_capture_later_is_told_then()
    {
        using var source = new StreamSource(receiver, "pipe");
        sender.Dispose();

        Assert.Equal("pipe: is empty", Assert.Throws<SourceException>(() => Next(source)).Message);
    }

    [Fact]
    public void Nobody_waits_for_a_silent_pipe_to_leave()
    {
        sender.Write(Head);
        var source = new StreamSource(receiver, "pipe");
        using var stop = new CancellationTokenSource();
        stop.Cancel();

        Assert.Equal(SourceState.Idle, source.Read(new FrameBatch(), stop.Token));
        source.Dispose();
    }

    [Fact]
    public void Any_pieces_give_what_the_stored_capture_gives()
    {
        var b = new CaptureBuilder();
        b.Section(b.Option(1, "whole")).Interface("x", options: b.Option(9, [9])).Interface("any", 113).Block(99, new byte[40]);
        for (var i = 0; i < 300; i++)
        {
            b.Packet(0, (ulong)i, Record((uint)i, "0102"), null, b.Option(1, $"note {i}")).Packet(1, (ulong)i, b.Cooked(Record((uint)i, "0A")));
        }

        var bytes = b.Interface("late").Packet(2, 400, Record(1, "")).Statistics(0, b.Option(5, b.U64(3))).Interface("silent").Bytes;
        using var stored = CaptureFile.Open(new MemoryStream(bytes), "test");
        var expected = ReadFrames.From(stored, Cancellation);

        Gen.Int[1, 3000].Array[1, 20].Sample(
            sizes =>
            {
                using var source = new StreamSource(new PiecewiseStream(bytes, sizes), "test", null, TimeSpan.Zero);
                var read = ReadFrames.From(source, Cancellation);

                Assert.Equal(expected.Lines, read.Lines);
                Assert.Equal(expected.Notes, read.Notes);
                Assert.Equal(Captures.Problems(stored), Captures.Problems(source));
                Assert.Equal(["x", "any", "late", "silent"], source.Buses.Select(bus => bus.Name));
                Assert.Equal(["whole"], source.Comments);
                Assert.Equal(3, source.StatusOf(0)?.LostFrames);
            },
            iter: 40);
    }

    [Fact]
    public void A_bus_is_not_known_before_the_frames_that_came_before_it()
    {
        var b = new CaptureBuilder().Section().Interface("first");
        for (var i = 0; i < 600; i++)
        {
            b.Packet(0, (ulong)i, Record((uint)i, ""));
        }

        using var source = new StreamSource(new MemoryStream(b.Interface("second").Packet(1, 700, Record(1, "")).Bytes), "test");

        Assert.NotEmpty(Next(source));
        Assert.Single(source.Buses);
    }
}
