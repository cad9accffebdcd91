using System.Buffers.Binary;
using System.Diagnostics;
using BusScope.Frames;
using BusScope.TestKit;
using BusScope.Transport.Pcapng;
using CsCheck;
using Xunit;

namespace BusScope.Transport.Tests;

/// <summary>What libpcap finds in the files that are written here, frame for frame: tcpdump reads them and copies them into a pcap file.</summary>
public class LibpcapTests
{
    private static readonly Bus[] Buses = [new("chassis") { BitRate = 500_000, Comments = ["c"] }, new("cabin")];

    // libpcap reads times as unsigned seconds of 32 bits when it writes pcap.
    private static readonly Gen<FrameTime> Times = Gen.Long[0, 4_000_000_000_000_000_000].Select(ns => new FrameTime(ns));

    [Fact]
    public void Every_frame_that_is_written_is_found_by_libpcap()
    {
        var frames = FrameGens.Frame(Buses.Length, Times).Array[400].Single();
        using var folder = new Captures.TemporaryFolder();
        var (ours, theirs) = (Path.Combine(folder.Path, "ours.pcapng"), Path.Combine(folder.Path, "theirs.pcap"));
        Write(ours, frames);

        Tcpdump("-r", ours, "--nano", "-w", theirs);

        Assert.Equal(frames.Select(Expected), Records(File.ReadAllBytes(theirs)));
    }

    [Fact]
    public void Times_before_the_epoch_are_found_by_libpcap_where_they_are()
    {
        using var folder = new Captures.TemporaryFolder();
        var (ours, theirs) = (Path.Combine(folder.Path, "ours.pcapng"), Path.Combine(folder.Path, "theirs.pcap"));
        Write(ours, [Some.Frame(1, "01", 22_000), Some.Frame(1, "02", -364), Some.Frame(1, "03", 1_250)]);

        Tcpdump("-r", ours, "--nano", "-w", theirs);

        // Its copy holds 32 bits of the seconds, and whole seconds before the epoch are rounded down: -1 s + 0.636 s.
        var times = Records(File.ReadAllBytes(theirs)).Select(record => record.Split(' ')[0]);
        Assert.Equal(["22000000000", "4294967295636000000", "1250000000"], times);
    }

    [Fact]
    public void What_libpcap_copies_is_read_back_as_the_same_frames()
    {
        // A copy in pcap keeps neither buses nor directions.
        var frames = FrameGens.Frame(1, Times).Array[400].Single();
        using var folder = new Captures.TemporaryFolder();
        var (ours, theirs) = (Path.Combine(folder.Path, "ours.pcapng"), Path.Combine(folder.Path, "theirs.pcap"));
        Write(ours, frames);
        Tcpdump("-r", ours, "--nano", "-w", theirs);

        using var source = CaptureFile.Open(theirs);
        var read = ReadFrames.From(source, TestContext.Current.CancellationToken);

        Assert.Equal(frames.Select(frame => ReadFrames.Line(frame with { Direction = Direction.Unknown })), read.Lines);
    }

    private static void Write(string path, IEnumerable<Frame> frames)
    {
        using var writer = PcapngWriter.Create(path);
        foreach (var batch in Some.Batches(frames))
        {
            writer.Write(batch, Buses);
        }

        writer.Complete();
    }

    // Built here from include/uapi/linux/can.h and tcpdump.org/linktypes, LINKTYPE_CAN_SOCKETCAN.
    private static string Expected(Frame frame)
    {
        var word = frame.Id.Value | (frame.Id.IsExtended ? 1u << 31 : 0) | (frame.IsRemote ? 1u << 30 : 0) | (frame.IsErrorReport ? 1u << 29 : 0);
        var flags = frame.IsFlexibleDataRate ? (int)frame.Kinds & 7 : 0;
        var data = Convert.ToHexString(frame.Data).PadRight(frame.IsFlexibleDataRate ? 128 : 16, '0');
        return $"{frame.Time.Nanoseconds} {word:X8}{frame.Length:X2}{flags:X2}00{frame.RawLengthCode:X2}{data}";
    }

    private static List<string> Records(byte[] pcap)
    {
        Assert.Equal(0xA1B23C4D, BinaryPrimitives.ReadUInt32LittleEndian(pcap));
        Assert.Equal(227u, BinaryPrimitives.ReadUInt32LittleEndian(pcap.AsSpan(20)));
        var records = new List<string>();
        for (var at = 24; at < pcap.Length;)
        {
            var head = pcap.AsSpan(at, 16);
            var time = (BinaryPrimitives.ReadUInt32LittleEndian(head) * 1_000_000_000L) + BinaryPrimitives.ReadUInt32LittleEndian(head[4..]);
            var length = (int)BinaryPrimitives.ReadUInt32LittleEndian(head[8..]);
            records.Add($"{time} {Convert.ToHexString(pcap, at + 16, length)}");
            at += 16 + length;
        }

        return records;
    }

    private static string Tcpdump(params string[] arguments)
    {
        Assert.SkipUnless(Environment.GetEnvironmentVariable("PATH")!.Split(Path.PathSeparator).Any(folder => File.Exists(Path.Combine(folder, "tcpdump"))), "tcpdump is not installed");
        using var tcpdump = Process.Start(new ProcessStartInfo("tcpdump", arguments) { RedirectStandardOutput = true, RedirectStandardError = true })!;
        var errors = tcpdump.StandardError.ReadToEndAsync(TestContext.Current.CancellationToken);
        var output = tcpdump.StandardOutput.ReadToEnd();
        tcpdump.WaitForExit();
        Assert.True(tcpdump.ExitCode == 0, errors.Result);
        return output;
    }
}
