using System.Globalization;
using BusScope.Frames;
using BusScope.TestKit;
using BusScope.Transport.Pcapng;
using Xunit;

namespace BusScope.App.Tests.Commands;

/// <summary>Tables and other recorders call a bus as they like; what was learned on it is found there again.</summary>
public class LearnedBusesTests
{
    [Theory]
    [InlineData("Channel 1", "Channel 2")]
    [InlineData("CAN 1", "body")]
    [InlineData("x y", "x_y")]
    [InlineData("a: b", "#c {d}")]
    [InlineData("null", "~")]
    public void A_table_meets_what_was_learned_from_it_whatever_it_calls_its_buses(string first, string second)
    {
        using var folder = new ScratchFolder();
        var capture = folder.File("capture.csv");
        File.WriteAllLines(capture, ["time,bus,id,data", .. Frames().Select(frame => string.Create(CultureInfo.InvariantCulture, $"{frame.Time.Nanoseconds / 1e9:0.000},\"{(frame.Bus == 0 ? first : second)}\",{frame.Id.Value:X3},{frame.Data[0]:X2}"))]);

        AssertMeetsItself(capture, folder);
    }

    [Fact]
    public void A_recording_meets_what_was_learned_from_it_though_its_interfaces_have_blanks_and_escapes_in_their_names()
    {
        using var folder = new ScratchFolder();
        var capture = folder.File("capture.pcapng");
        using (var writer = PcapngWriter.Create(capture))
        {
            foreach (var batch in Some.Batches(Frames()))
            {
                writer.Write(batch, [new Bus("CAN 1"), new Bus("CAN 2\u001b[31m")]);
            }

            writer.Complete();
        }

        AssertMeetsItself(capture, folder);
    }

    private static List<Frame> Frames() => [.. Enumerable.Range(0, 500).SelectMany(i => new[] { Some.Frame(0x100, $"{i & 255:X2}", i * 10), Some.Frame(0x100, $"{(i / 7 * 3) & 255:X2}", (i * 10) + 1, 1) })];

    private static void AssertMeetsItself(string capture, ScratchFolder folder)
    {
        Assert.Equal(0, CommandRun.Of("learn", capture, "--out", folder.File("baseline.yaml")).Status);

        LearnedFile.AssertFine(folder.File("baseline.yaml"));
        LearnedFile.AssertGo(capture, folder.File("baseline.yaml"));
    }
}
