using BusScope.Frames;
using BusScope.TestKit;
using CsCheck;
using Xunit;

namespace BusScope.Transport.Tests;

/// <summary>A reader that begins where another one stands gives what that one gives, to the last problem.</summary>
public sealed class PlaceTests
{
    private static readonly Gen<Random> Dice = Gen.Int[0, int.MaxValue].Select(seed => new Random(seed));

    [Fact]
    public void A_pcapng_reader_that_begins_at_a_place_goes_on_as_the_one_that_stood_there() => Dice.Sample(dice => GoesOn(Pcapng(dice), dice), iter: 40);

    [Fact]
    public void A_pcap_reader_that_begins_at_a_place_goes_on_as_the_one_that_stood_there() => Dice.Sample(dice => GoesOn(Pcap(dice), dice), iter: 40);

    [Fact]
    public void A_place_is_not_said_before_the_order_of_the_identifiers_was_judged()
    {
        using var file = new TemporaryFile(Pcap(new Random(1)));
        using var source = CaptureFile.Open(file.Path);

        Assert.Null(source.Place());
        _ = source.Read(new FrameBatch(), TestContext.Current.CancellationToken);
        Assert.Null(source.Place());
    }

    [Fact]
    public void A_stream_says_no_place_and_cannot_begin_at_one()
    {
        var bytes = Pcap(new Random(1));
        using var file = new TemporaryFile(bytes);
        using var source = CaptureFile.Open(file.Path);
        using var stream = CaptureFile.Open(new MemoryStream(bytes), "stream");
        Pass(source, 8);
        Pass(stream, 8);

        Assert.NotNull(source.Place());
        Assert.Null(stream.Place());
    }

    [Fact]
    public void A_place_does_not_hold_for_another_file_that_has_the_path_by_now()
    {
        var bytes = Pcapng(new Random(1));
        using var file = new TemporaryFile(bytes);
        using var other = new TemporaryFile(bytes);
        using var first = CaptureFile.Open(file.Path);
        Pass(first, 8);

        File.Move(other.Path, file.Path, overwrite: true);

        Assert.Equal($"{file.Path}: is not the file that was read before", Refused(file.Path, first.Place()!));
    }

    [Fact]
    public void A_place_does_not_hold_for_a_file_that_was_cut_and_holds_for_one_that_has_grown()
    {
        var bytes = Pcapng(new Random(1));
        using var file = new TemporaryFile(bytes);
        using var first = CaptureFile.Open(file.Path);
        Pass(first, 8);
        var place = first.Place()!;

        File.AppendAllBytes(file.Path, bytes);
        using var second = CaptureFile.Open(file.Path);
        second.BeginAt(place);
        using (var cut = new FileStream(file.Path, FileMode.Open, FileAccess.Write, FileShare.ReadWrite))
        {
            cut.SetLength(bytes.Length - 1);
        }

        Assert.Equal($"{file.Path}: has {bytes.Length - 1} bytes, and had {bytes.Length} when it was read before", Refused(file.Path, place));
    }

    [Fact]
    public void A_place_does_not_hold_for_a_file_that_became_a_capture_of_another_kind()
    {
        var bytes = Pcap(new Random(1));
        using var file = new TemporaryFile(bytes);
        using var first = CaptureFile.Open(file.Path);
        Pass(first, 8);
        var place = first.Place()!;

        File.WriteAllBytes(file.Path, [.. Pcapng(new Random(1)), .. bytes]);

        Assert.Equal($"{file.Path}: is of another kind than when it was read before", Refused(file.Path, place));
    }

    private static string Refused(string path, SourcePlace place)
    {
        using var source = CaptureFile.Open(path);
        return Assert.Throws<SourceException>(() => source.BeginAt(place)).Message;
    }

    private static void GoesOn(byte[] capture, Random dice)
    {
        using var file = new TemporaryFile(capture);
        using var first = CaptureFile.Open(file.Path);
        var batches = dice.Next(4, 14);
        Pass(first, batches);
        var place = first.Place();
        Assert.NotNull(place);
        using var second = CaptureFile.Open(file.Path);

        second.BeginAt(place);

        Assert.Equal(first.Buses.Select(Text), second.Buses.Select(Text));
        Assert.Equal(Rest(first, batches), Rest(second, batches));

        // A place that was used can be used again.
        using var third = CaptureFile.Open(file.Path);
        third.BeginAt(place);
        _ = Rest(third, batches);
        Assert.Equal(Figures(first), Figures(third));
    }

    private static void Pass(IFrameSource source, int batches)
    {
        var batch = new FrameBatch();
        for (var i = 0; i < batches; i++)
        {
            _ = source.Read(batch, TestContext.Current.CancellationToken);
        }
    }

    // Every frame to come, and what the source says of itself then.
    private static List<string> Rest(IFrameSource source, int batches)
    {
        var said = new List<string>();
        var batch = new FrameBatch(1 + (batches * (long)FrameBatch.Capacity));
        while (source.Read(batch, TestContext.Current.CancellationToken) == SourceState.Frames)
        {
            foreach (ref readonly var frame in batch.Frames)
            {
                said.Add($"{frame.Time} {frame.Bus} {frame.Id} {frame.Kinds} {Convert.ToHexString(frame.Data)}");
            }

            said.AddRange(batch.Notes.Select(note => $"{note.Index} {note.Text}"));
        }

        said.AddRange(Figures(source));
        return said;
    }

    private static List<string> Figures(IFrameSource source) =>
    [
        .. source.Buses.Select(Text),
        .. source.Buses.Select((_, bus) => $"lost {source.StatusOf(bus)?.LostFrames}"),
        .. source.Problems.All.Select(problem => $"{problem.Kind.Code} {problem.Count} at {problem.First}: {problem.Detail}"),
        .. ((ICaptureSource)source).Comments,
        $"{source.Progress}",
    ];

    private static string Text(Bus bus) => $"{bus.Name} {bus.BitRate} {bus.Description} {string.Join('|', bus.Comments)}";

    // Sections with other interfaces, comments, packets of no interface, lost frames, times that fall back: all that a place has to know.
    private static byte[] Pcapng(Random dice)
    {
        var builder = new CaptureBuilder(big: dice.Next(4) == 0);
        var time = 1_700_000_000_000_000UL;
        var interfaces = 0;
        for (var i = 0; i < 4_000; i++)
        {
            if (i == 0 || dice.Next(1_500) == 0)
            {
                builder.Section(builder.Option(1, $"section {i}"));
                interfaces = 0;
            }

            if (interfaces == 0 || dice.Next(900) == 0)
            {
                interfaces++;
                builder.Interface(dice.Next(3) == 0 ? null : $"bus {dice.Next(4)}", dice.Next(6) == 0 ? 276 : CaptureBuilder.Can, options: builder.Option(1, $"interface {i}"));
            }

            time = dice.Next(500) == 0 ? time - (ulong)dice.Next(3_000_000) : time + (ulong)dice.Next(2_000);
            var record = CaptureBuilder.Record((uint)dice.Next(0x800), "11 22 33 44", flags: dice.Next(300) == 0 ? 0x40 : 0);
            var number = dice.Next(200) == 0 ? interfaces : dice.Next(interfaces);
            switch (dice.Next(200))
            {
                case 0: builder.Statistics(dice.Next(interfaces), builder.Option(5, builder.U64((ulong)dice.Next(100)))); break;
                case 1: builder.ObsoletePacket(number, dice.Next(3), time, record); break;
                case 2: builder.SimplePacket(record); break;
                case 3: builder.Packet(number, time, record, options: builder.Option(1, $"frame {i}")); break;
                default: builder.Packet(number, time, record); break;
            }
        }

        return builder.Bytes;
    }

    private static byte[] Pcap(Random dice)
    {
        var builder = new CaptureBuilder(big: dice.Next(2) == 0).PcapHeader(linkType: dice.Next(2) == 0 ? CaptureBuilder.Can : 276);
        var isCooked = builder.Bytes[20] == 276 % 256 || builder.Bytes[23] == 276 % 256;
        var milliseconds = 1_000_000L;
        for (var i = 0; i < 4_000; i++)
        {
            milliseconds = dice.Next(500) == 0 ? milliseconds - dice.Next(3_000) : milliseconds + dice.Next(3);
            var record = CaptureBuilder.Record((uint)dice.Next(0x800), "11 22 33 44", flags: dice.Next(300) == 0 ? 0x40 : 0);
            builder.PcapRecord(milliseconds / 1000, milliseconds % 1000 * 1000, isCooked ? builder.Cooked2(record, number: (byte)dice.Next(3)) : record);
        }

        return builder.Bytes;
    }

    private sealed class TemporaryFile : IDisposable
    {
        public TemporaryFile(byte[] bytes) => File.WriteAllBytes(Path, bytes);

        public string Path { get; } = System.IO.Path.GetTempFileName();

        public void Dispose() => File.Delete(Path);
    }
}
