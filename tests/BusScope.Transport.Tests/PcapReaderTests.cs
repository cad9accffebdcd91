using System.Globalization;
using System.Text.RegularExpressions;
using BusScope.Frames;
using BusScope.TestKit;
using Xunit;
using static BusScope.TestKit.CaptureBuilder;

namespace BusScope.Transport.Tests;

public class PcapReaderTests
{
    [Theory]
    [InlineData(false, false, 2_000_000_345_000)]
    [InlineData(true, false, 2_000_000_345_000)]
    [InlineData(false, true, 2_000_000_000_345)]
    [InlineData(true, true, 2_000_000_000_345)]
    public void All_four_forms_are_read(bool big, bool nanoseconds, long time)
    {
        var (source, read) = Captures.Read(new CaptureBuilder(big).PcapHeader(nanoseconds).PcapRecord(2000, 345, Record(0x98FEF100, "0102")));

        Assert.Equal([$"{time} bus 0 0x18FEF100 [2] None Unknown raw 0 0102"], read.Lines);
        Assert.Equal(("pcap", "bus0"), (source.Format, source.Buses[0].Name));
        Assert.Empty(source.Problems.All);
    }

    [Fact]
    public void Seconds_beyond_2038_are_not_negative()
    {
        var (_, read) = Captures.Read(new CaptureBuilder().PcapHeader().PcapRecord(0xFFFF_FFFF, 999_999, Record(1, "")));

        Assert.Equal(4_294_967_295_999_999_000, read.Frames[0].Time.Nanoseconds);
    }

    [Fact]
    public void Fractions_and_lengths_beyond_their_limits_are_counted_and_the_frames_kept()
    {
        var b = new CaptureBuilder().PcapHeader(snapLength: 10).PcapRecord(1, 1_500_000, Record(1, "01"), original: 16);

        var (source, read) = Captures.Read(b);

        Assert.Equal(2_500_000_000, Assert.Single(read.Frames).Time.Nanoseconds);
        Assert.Equal(["time-fraction-too-large 1", "packet-over-limit 1"], Captures.Problems(source));
    }

    [Fact]
    public void A_capture_of_another_network_gives_no_bus_and_says_why()
    {
        var (source, read) = Captures.Read(new CaptureBuilder().PcapHeader(linkType: 1).PcapRecord(1, 0, new byte[60]));

        Assert.Empty(read.Frames);
        Assert.Empty(source.Buses);
        Assert.Equal(["interface-other 1", "packet-other 1"], Captures.Problems(source));
        Assert.Equal("link type 1", source.Problems.All[0].Detail);
    }

    [Fact]
    public void A_cooked_capture_is_read()
    {
        var b = new CaptureBuilder(big: true).PcapHeader(linkType: 276);

        var (source, read) = Captures.Read(b.PcapRecord(0, 1, b.Cooked2(Record(0x123, "0A"), kind: 4)));

        Assert.Equal(["1000 bus 0 0x123 [1] None Sent raw 0 0A"], read.Lines);
        Assert.Equal("bus0.3", source.Buses[0].Name);
    }

    [Fact]
    public void Another_version_is_told()
    {
        var (source, _) = Captures.Read(new CaptureBuilder().PcapHeader(major: 3));

        Assert.Equal("version 3 of the format is not known", Assert.Single(source.Problems.All).Detail);
    }

    /// <summary>
    /// Recorded from the CAN stack of Linux 6.1.192 (Debian); the .tcpdump.pcap by tcpdump 4.99.3 with libpcap 1.10.3, which leaves the CAN FD
    /// flags out. The .txt holds the same frames as the kernel gave them to a socket.
    /// </summary>
    [Theory]
    [InlineData("raw-basic.pcap", true)]
    [InlineData("raw-basic.tcpdump.pcap", false)]
    [InlineData("raw-err.pcap", true)]
    [InlineData("isotp-fdmf200.pcap", true)]
    [InlineData("isotp-fdmf200.tcpdump.pcap", false)]
    public void Recordings_of_the_Linux_kernel_give_the_frames_that_it_had(string file, bool hasFlags)
    {
        var folder = RepoFiles.Path("tests", "BusScope.Transport.Tests", "Vectors");
        var expected = File.ReadAllLines(Path.Combine(folder, file.Split('.')[0] + ".txt"));

        using var source = CaptureFile.Open(Path.Combine(folder, file));
        var read = ReadFrames.From(source, TestContext.Current.CancellationToken);

        Assert.Equal(
            expected.Select(line => hasFlags ? line[TimeLength..] : Regex.Replace(line[TimeLength..], "fl=0.", "fl=04")),
            read.Frames.Select(Line));
        // The seconds of the .txt were computed in floating point and cut: a microsecond may be missing.
        Assert.All(expected.Zip(read.Frames), pair => Assert.InRange(
            (pair.Second.Time - read.Frames[0].Time).Nanoseconds / 1000 - (long)Math.Round(double.Parse(pair.First.AsSpan(0, TimeLength), CultureInfo.InvariantCulture) * 1e6), 0, 1));
        Assert.Empty(source.Problems.All);
    }

    [Fact]
    public void The_raw_length_code_that_the_kernel_kept_is_read()
    {
        using var source = CaptureFile.Open(RepoFiles.Path("tests", "BusScope.Transport.Tests", "Vectors", "raw-basic.pcap"));

        var read = ReadFrames.From(source, TestContext.Current.CancellationToken);

        Assert.Equal([0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 13], read.Frames.Select(f => (int)f.RawLengthCode));
    }

    private const int TimeLength = 11;

    // The form of the .txt behind the seconds: identifier, what it is, length, CAN FD flags, data.
    private static string Line(Frame frame)
    {
        var id = frame.Id.ToString()[2..];
        var data = string.Concat(frame.Data.ToArray().Select(b => $" {b:X2}"));
        return frame.IsErrorReport ? $" ERR {frame.Id.Value:X8}    [{frame.Length:00}]{data}"
            : frame.IsFlexibleDataRate ? $"     {id,-8} FD [{frame.Length:00}] fl={(int)frame.Kinds:00}{data}"
            : $"     {id,-8} {(frame.IsRemote ? "R" : " ")}  [{frame.Length:00}]{data}";
    }
}
