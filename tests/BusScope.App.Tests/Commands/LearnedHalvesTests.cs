using System.Text.Json;
using BusScope.Demo;
using BusScope.Frames;
using BusScope.TestKit;
using BusScope.Transport.Pcapng;
using Xunit;

namespace BusScope.App.Tests.Commands;

/// <summary>What was learned on one part of a recording of a healthy car holds in another.</summary>
public class LearnedHalvesTests
{
    // Recordings of real cars (SOURCES.md beside them); read where they lie, and skipped where they are not.
    [Theory]
    [InlineData("vehicle-two-buses-off-on-ready-off.csv")]
    [InlineData("drive-controller-alone-on-bench.csv")]
    [InlineData("start-refused-no-key.csv")]
    public void What_was_learned_on_the_first_half_of_a_real_recording_holds_in_the_second(string file)
    {
        using var folder = new ScratchFolder();
        var (first, second) = HalvesOfTable(RepoFiles.Shared("captures", file), folder);

        Assert.Equal(0, CommandRun.Of("learn", first, "--out", folder.File("baseline.yaml")).Status);

        LearnedFile.AssertFine(folder.File("baseline.yaml"));
        LearnedFile.AssertGo(second, folder.File("baseline.yaml"));
    }

    [Theory]
    [InlineData("drive-controller-alone-on-bench.csv")]
    [InlineData("start-refused-no-key.csv")]
    [InlineData("small-bus-stale-rows-negative-times.csv")]
    public void What_was_learned_on_the_second_half_of_a_real_recording_held_in_the_first(string file)
    {
        using var folder = new ScratchFolder();
        var (first, second) = HalvesOfTable(RepoFiles.Shared("captures", file), folder);

        Assert.Equal(0, CommandRun.Of("learn", second, "--out", folder.File("baseline.yaml")).Status);

        LearnedFile.AssertGo(first, folder.File("baseline.yaml"));
    }

    // Off, on, ready, off: 11 messages go on for a while after the ignition is off, and the second half does not show that they are not there before it is on.
    [Fact]
    public void A_half_that_begins_with_the_ignition_off_is_inconclusive_and_not_at_fault_against_one_that_never_was()
    {
        using var folder = new ScratchFolder();
        var (first, second) = HalvesOfTable(RepoFiles.Shared("captures", "vehicle-two-buses-off-on-ready-off.csv"), folder);
        Assert.Equal(0, CommandRun.Of("learn", second, "--out", folder.File("baseline.yaml")).Status);

        var check = CommandRun.Of("check", first, "--defs", folder.File("baseline.yaml"), "--format", "json");

        using var json = JsonDocument.Parse(check.Output);
        var findings = json.RootElement.GetProperty("findings").EnumerateArray().ToList();
        Assert.Equal("inconclusive", json.RootElement.GetProperty("verdict").GetString());
        Assert.Equal(11, Assert.Single(findings, finding => finding.GetProperty("code").GetString() == "began-together").GetProperty("count").GetInt64());
        Assert.DoesNotContain(findings, finding => finding.GetProperty("severity").GetString() == "fault");
    }

    // Its first third has no key pressed: two messages came at their period alone, and twice more at each change in the last third.
    [Fact]
    public void Messages_sent_on_change_that_were_learned_at_rest_have_no_two_senders()
    {
        using var folder = new ScratchFolder();
        var (first, last) = EndsOfTable(RepoFiles.Shared("captures", "start-refused-no-key.csv"), folder, 3);
        Assert.Equal(0, CommandRun.Of("learn", first, "--out", folder.File("baseline.yaml")).Status);

        LearnedFile.AssertGo(last, folder.File("baseline.yaml"));
    }

    // As one capture, and as two: most of what comes and goes with the ignition is expected while it is on.
    [Fact]
    public void Two_captures_leave_no_more_messages_without_an_expectation_than_one()
    {
        using var folder = new ScratchFolder();
        var whole = RepoFiles.Shared("captures", "vehicle-two-buses-off-on-ready-off.csv");
        var (first, second) = HalvesOfTable(whole, folder);

        var unexpected = new[] { new[] { whole }, [first, second] }
            .Select((captures, i) => CommandRun.Of(["learn", .. captures, "--out", folder.File($"{i}.yaml"), "--format", "json"]))
            .Select(run => JsonDocument.Parse(run.Output).RootElement.GetProperty("messages").EnumerateArray().Count(message => !message.GetProperty("expected").GetBoolean()))
            .ToList();

        Assert.Equal([4, 4], unexpected);
    }

    // The key goes off at the end of the drive. What stops then, and may not, is unknown to the first half; what comes once a second is not stale yet.
    [Fact]
    public void What_was_learned_on_the_first_half_of_a_healthy_drive_holds_in_the_second_until_the_key_goes_off()
    {
        using var folder = new ScratchFolder();
        var (first, second) = HalvesOfDemo("healthy", folder);

        Assert.Equal(0, CommandRun.Of("learn", first, "--out", folder.File("baseline.yaml")).Status);

        LearnedFile.AssertFine(folder.File("baseline.yaml"));
        Assert.Equal(0, CommandRun.Of("check", second, "--defs", folder.File("baseline.yaml"), "--for", "25s").Status);
        var whole = CommandRun.Of("check", second, "--defs", folder.File("baseline.yaml")).Output;
        Assert.StartsWith("INCONCLUSIVE", whole, StringComparison.Ordinal);
        Assert.Contains("silent for up to", whole, StringComparison.Ordinal);
        Assert.DoesNotContain("  fault  ", whole, StringComparison.Ordinal);
    }

    private static (string First, string Second) HalvesOfTable(string path, ScratchFolder folder) => EndsOfTable(path, folder, 2);

    // The first and the last of so many parts of equal time.
    private static (string First, string Last) EndsOfTable(string path, ScratchFolder folder, int parts)
    {
        var lines = File.ReadAllLines(path);
        var rows = lines.Skip(1).Where(line => line.Length > 0).Select(line => (Time: long.Parse(line[..line.IndexOf(',', StringComparison.Ordinal)]), Line: line)).ToList();
        var (from, until) = (rows.Min(row => row.Time), rows.Max(row => row.Time));
        var part = (until - from) / parts;
        string Write(string name, Func<long, bool> isIn) =>
            folder.Write(name, string.Join('\n', rows.Where(row => isIn(row.Time)).Select(row => row.Line).Prepend(lines[0])) + "\n");
        return (Write("first.csv", time => time < from + part), Write("last.csv", time => time >= until - part));
    }

    private static (string First, string Second) HalvesOfDemo(string story, ScratchFolder folder)
    {
        using var source = DemoSource.Open(story);
        var batch = new FrameBatch();
        var frames = new List<Frame>();
        while (source.Read(batch, TestContext.Current.CancellationToken) != SourceState.Ended)
        {
            frames.AddRange(batch.Frames);
        }

        var middle = frames[0].Time + ((frames[^1].Time - frames[0].Time) * 0.5);
        string Write(string name, Func<FrameTime, bool> isIn)
        {
            using var writer = PcapngWriter.Create(folder.File(name), new PcapngWriterOptions());
            foreach (var part in Some.Batches(frames.Where(frame => isIn(frame.Time))))
            {
                writer.Write(part, source.Buses);
            }

            writer.AddBuses(source.Buses);
            writer.Complete();
            return folder.File(name);
        }

        return (Write("first.pcapng", time => time < middle), Write("second.pcapng", time => time >= middle));
    }
}
