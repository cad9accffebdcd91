using System.Text.Json;
using BusScope.Demo;
using BusScope.Signals.Definitions;
using BusScope.TestKit;
using Xunit;

namespace BusScope.App.Tests.Commands;

public class LearnTests(LearnedDemo demo) : IClassFixture<LearnedDemo>
{
    // The wheels turned all through the drive; the car that has just been started stands.
    [Fact]
    public void A_car_that_stands_is_not_at_fault_by_what_moved_in_the_drive_that_was_learned()
    {
        using var folder = new ScratchFolder();
        var learned = CommandRun.Of("learn", RepoFiles.Path("captures", "healthy.pcapng.gz"), "--out", folder.File("baseline.yaml"));
        Assert.Contains(" never at rest in what was learned: ", learned.Output.Replace("\n  ", " ", StringComparison.Ordinal), StringComparison.Ordinal);

        var check = CommandRun.Of("check", RepoFiles.Path("captures", "good-start.pcapng.gz"), "--defs", folder.File("baseline.yaml"), "--format", "json");

        using var json = JsonDocument.Parse(check.Output);
        var findings = json.RootElement.GetProperty("findings").EnumerateArray().ToList();
        Assert.Equal("inconclusive", json.RootElement.GetProperty("verdict").GetString());
        Assert.Contains(findings, finding => finding.GetProperty("code").GetString() == "payload-stuck" && finding.GetProperty("severity").GetString() == "warning");
        Assert.DoesNotContain(findings, finding => finding.GetProperty("severity").GetString() == "fault");
    }

    [Theory]
    [InlineData("drive-controller-alone-on-bench.csv")]
    [InlineData("small-bus-stale-rows-negative-times.csv")]
    public void A_recording_meets_what_was_learned_from_it(string file)
    {
        using var folder = new ScratchFolder();
        var capture = RepoFiles.Shared("captures", file);

        Assert.Equal(0, CommandRun.Of("learn", capture, "--out", folder.File("baseline.yaml")).Status);

        LearnedFile.AssertFine(folder.File("baseline.yaml"));
        LearnedFile.AssertGo(capture, folder.File("baseline.yaml"));
    }

    [Fact]
    public void A_healthy_car_learned_whole_finds_the_faults_after_the_swap()
    {
        var check = CommandRun.Of("check", "demo:swapped", "--defs", demo.Definitions, "--format", "json");

        // As docs/demo.md tells the story; faults of values are beyond a baseline, which claims no signals.
        using var json = JsonDocument.Parse(check.Output);
        var faults = json.RootElement.GetProperty("findings").EnumerateArray()
            .Where(finding => finding.GetProperty("severity").GetString() == "fault")
            .Select(finding => $"{finding.GetProperty("message")} {finding.GetProperty("code")}")
            .Order();
        Assert.Equal(
            ["cabin_1D4 message-missing", "chassis_0A9 counter-repeated", "chassis_0AE checksum-wrong", "chassis_104 two-senders", "chassis_126 message-too-slow", "chassis_3F0 wrong-length"],
            faults);
    }

    // SOURCES.md: the board alone sends 22 identifiers, all of them in the vehicle at the same periods; the vehicle's bus has 79 more.
    [Fact]
    public void A_vehicle_that_is_down_to_one_board_lacks_all_that_is_not_the_boards()
    {
        using var folder = new ScratchFolder();
        var vehicle = "bus=" + RepoFiles.Shared("captures", "vehicle-two-buses-off-on-ready-off.csv");
        Assert.Equal(0, CommandRun.Of("learn", vehicle, "--out", folder.File("baseline.yaml")).Status);

        var check = CommandRun.Of("check", "bus=" + RepoFiles.Shared("captures", "drive-controller-alone-on-bench.csv"), "--defs", folder.File("baseline.yaml"), "--format", "json");

        using var json = JsonDocument.Parse(check.Output);
        var board = json.RootElement.GetProperty("messages").EnumerateArray().Where(message => message.GetProperty("bus").GetString() == "bus" && message.GetProperty("frames").GetInt64() > 0).ToList();
        Assert.Equal(22, board.Count);
        Assert.All(board, message => Assert.Equal("fresh", message.GetProperty("state").GetString()));
        Assert.Equal("no-go", json.RootElement.GetProperty("verdict").GetString());
    }

    // SOURCES.md: counters, checksums and their places, from the publisher's notes and an independent analysis.
    [Fact]
    public void The_counters_and_checksums_of_a_real_car_are_in_the_json()
    {
        using var folder = new ScratchFolder();
        var capture = RepoFiles.Shared("captures", "vehicle-two-buses-off-on-ready-off.csv");
        (string Bus, string Id, string CounterAt, int ChecksumAt, string Algorithm)[] known =
        [
            ("0", "0x153", "6.4", 7, "sum8"),
            ("1", "0x130", "6.0", 7, "crc8-sae-j1850"),
            ("1", "0x140", "6.0", 7, "crc8-sae-j1850"),
            ("1", "0x251", "2.0", 3, "sum8"),
            ("1", "0x340", "4.4", 6, "sum8"),
            ("0", "0x2B0", "4.0", 4, "nibble-xor"),
        ];

        using var json = Learned(capture, folder.File("baseline.yaml"));

        Assert.All(known, each =>
        {
            var message = json.RootElement.GetProperty("messages").EnumerateArray()
                .Single(message => message.GetProperty("bus").GetString() == each.Bus && message.GetProperty("id").GetString() == each.Id);
            Assert.Equal(10, message.GetProperty("period_ms").GetDouble());
            Assert.Equal(each.CounterAt, message.GetProperty("counter").GetProperty("lsb").GetString());
            Assert.Equal(each.ChecksumAt, message.GetProperty("checksum").GetProperty("byte").GetInt32());
            Assert.Equal(each.Algorithm, message.GetProperty("checksum").GetProperty("algorithm").GetString());
        });
        LearnedFile.AssertFine(folder.File("baseline.yaml"));
        LearnedFile.AssertGo(capture, folder.File("baseline.yaml"));
    }

    // The simulator works by definition files that learning never sees.
    [Fact]
    public void The_built_in_car_is_learned_as_it_was_defined()
    {
        var defined = DemoDefinitions.LoadFor(DemoStories.All.First(story => story.Name == "healthy")).Definitions!;

        using var json = JsonDocument.Parse(demo.Json);

        var learned = json.RootElement.GetProperty("messages").EnumerateArray().ToDictionary(each => (each.GetProperty("bus").GetString(), each.GetProperty("id").GetString()));
        foreach (var message in defined.Messages.Where(each => learned.ContainsKey((each.Bus, IdOf(each)))))
        {
            var found = learned[(message.Bus, IdOf(message))];
            if (message.Timing.Every is { } every)
            {
                Assert.Equal(every.Milliseconds, found.GetProperty("period_ms").GetDouble());
            }

            if (message.Counter is { } counter)
            {
                Assert.Equal(counter.Field.LeastSignificant.ToString(), found.GetProperty("counter").GetProperty("lsb").GetString());
                Assert.Equal((counter.Field.Length, counter.Modulo, counter.Step), Counter(found.GetProperty("counter")));
            }
            else if (message.Name != "Clock")
            {
                // The seconds of a clock count as well.
                Assert.Equal(JsonValueKind.Null, found.GetProperty("counter").ValueKind);
            }

            if (found.GetProperty("checksum") is { ValueKind: JsonValueKind.Object } sum)
            {
                Assert.Equal(message.Checksum?.Field.LeastSignificant.ToString(), sum.GetProperty("lsb").GetString());
            }

            Assert.Equal(message.Signals.Any(signal => signal.When.Count > 0), found.GetProperty("selector").ValueKind == JsonValueKind.Object);
        }

        var conditional = defined.Messages.Where(message => message.While is not null).Select(message => (message.Bus, IdOf(message))).ToHashSet();
        var bits = learned.Where(pair => pair.Value.GetProperty("while").GetArrayLength() > 0).ToList();
        Assert.True(bits.Count > 30, $"{bits.Count}");
        Assert.All(bits, pair => Assert.Equal("0x0F0 0.0", $"{pair.Value.GetProperty("while")[0].GetProperty("id")} {pair.Value.GetProperty("while")[0].GetProperty("bit")}"));
    }

    [Fact]
    public void What_holds_in_all_of_several_captures_is_learned()
    {
        using var folder = new ScratchFolder();

        using var json = Learned(RepoFiles.Path("captures", "healthy.pcapng.gz"), folder.File("baseline.yaml"), RepoFiles.Path("captures", "good-start.pcapng.gz"));

        Assert.Equal(2, json.RootElement.GetProperty("sources").GetArrayLength());
        LearnedFile.AssertFine(folder.File("baseline.yaml"));
        LearnedFile.AssertGo(RepoFiles.Path("captures", "healthy.pcapng.gz"), folder.File("baseline.yaml"));
    }

    [Fact]
    public void A_file_that_is_there_is_kept_and_added_to()
    {
        using var folder = new ScratchFolder();
        const string Own = """
            # my own words
            busscope: 1
            buses: { race: { bitrate: 1 Mbit/s } }
            messages:
              Engine:            # the one I know
                id: 0x5A0
                bus: race
                every: 50 ms     # as the manual says
                signals:
                  Speed: { bytes: 0..1, order: big, unit: rpm }   # mine

            # the end
            """;
        var path = folder.Write("own.yaml", Own);

        var run = CommandRun.Of("learn", RepoFiles.Path("captures", "healthy.pcapng.gz"), "--out", path);

        Assert.Equal((0, ""), (run.Status, run.Error));
        Assert.Contains("What the file says otherwise", run.Output, StringComparison.Ordinal);
        var lines = File.ReadAllLines(path);
        var at = -1;
        foreach (var line in Own.Split('\n').Where(line => line.Length > 0 && !line.StartsWith("buses:", StringComparison.Ordinal)))
        {
            at = Array.IndexOf(lines, line, at + 1);
            Assert.True(at >= 0, line);
        }

        Assert.Contains("buses: { chassis: {", File.ReadAllText(path), StringComparison.Ordinal);
        Assert.Contains("    length: 8", lines);
        LearnedFile.AssertFine(path);
    }

    [Fact]
    public void Learning_twice_adds_nothing()
    {
        using var folder = new ScratchFolder();
        var path = folder.File("baseline.yaml");
        var capture = RepoFiles.Path("captures", "healthy.pcapng.gz");
        Assert.Equal(0, CommandRun.Of("learn", capture, "--out", path).Status);
        var before = File.ReadAllText(path);

        var again = CommandRun.Of("learn", capture, "--out", path);

        Assert.Equal(0, again.Status);
        Assert.Equal(before, File.ReadAllText(path));
        Assert.Contains("0 new messages", again.Output, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("Time,Id\n1,2\n")]
    [InlineData("busscope: 1\nmessages:\n  M: { id: 0x999999 }\n")]
    public void A_file_that_is_no_definition_file_is_left_as_it_was(string text)
    {
        using var folder = new ScratchFolder();
        var path = folder.Write("other.yaml", text);

        var run = CommandRun.Of("learn", RepoFiles.Path("captures", "healthy.pcapng.gz"), "--out", path);

        Assert.Equal(2, run.Status);
        Assert.Contains("--force", run.Error, StringComparison.Ordinal);
        Assert.Equal(text, File.ReadAllText(path));
        Assert.Equal(0, CommandRun.Of("learn", RepoFiles.Path("captures", "healthy.pcapng.gz"), "--out", path, "--force").Status);
        LearnedFile.AssertFine(path);
    }

    [Fact]
    public void A_capture_without_frames_teaches_nothing_and_writes_nothing()
    {
        using var folder = new ScratchFolder();
        var empty = folder.Write("empty.csv", "time,id,length,data\n");

        var run = CommandRun.Of("learn", empty, "--out", folder.File("baseline.yaml"));

        Assert.Equal(3, run.Status);
        Assert.False(File.Exists(folder.File("baseline.yaml")));
    }

    [Fact]
    public void Messages_that_came_too_rarely_are_told_with_what_to_record()
    {
        using var folder = new ScratchFolder();
        var rows = Enumerable.Range(0, 100).Select(i => $"{i * 10}000,100,1,{i % 7:X2}").Concat(["400500,200,1,00", "700500,200,1,00", "500500,300,1,00"]);
        var some = folder.Write("some.csv", "time,id,length,data\n" + string.Join('\n', rows) + "\n");
        var few = folder.Write("few.csv", "time,id,length,data\n400500,200,1,00\n700500,200,1,00\n500500,300,1,00\n");

        var (ofSome, ofFew) = (CommandRun.Of("learn", some, "--out", folder.File("some.yaml")), CommandRun.Of("learn", few, "--out", folder.File("few.yaml")));

        const string TooRare = " of 3 messages came too rarely to be expected: record ten seconds or longer,";
        Assert.Contains("2" + TooRare, ofSome.Output, StringComparison.Ordinal);
        Assert.DoesNotContain("Nothing is expected", ofSome.Output, StringComparison.Ordinal);
        Assert.Contains("2 of 2 messages came too rarely to be expected: record ten seconds or longer,", ofFew.Output, StringComparison.Ordinal);
        Assert.Contains("Nothing is expected: a check by this file alone misses no message", ofFew.Output, StringComparison.Ordinal);
        Assert.Equal(1, CommandRun.Of("check", few, "--defs", folder.File("few.yaml")).Status);
    }

    [Fact]
    public void The_folder_of_the_file_must_be_there()
    {
        using var folder = new ScratchFolder();

        var run = CommandRun.Of("learn", RepoFiles.Path("captures", "healthy.pcapng.gz"), "--out", folder.File("none/baseline.yaml"));

        Assert.Equal(3, run.Status);
        Assert.Contains("cannot be written", run.Error, StringComparison.Ordinal);
    }

    [Fact]
    public void The_file_reads_as_a_person_would_write_it()
    {
        using var folder = new ScratchFolder();
        Assert.Equal(0, CommandRun.Of("learn", RepoFiles.Path("captures", "healthy.pcapng.gz"), "--out", folder.File("baseline.yaml")).Status);

        Snapshot.Match(File.ReadAllText(folder.File("baseline.yaml")).Replace(RepoFiles.Root + "/", "", StringComparison.Ordinal));
    }

    private static (int, int, int) Counter(JsonElement counter) =>
        (counter.GetProperty("length").GetInt32(), counter.GetProperty("modulo").GetInt32(), counter.GetProperty("step").GetInt32());

    private static string IdOf(MessageDefinition message) => ((MessageKey.Identifier)message.Key).Id.ToString();

    private static JsonDocument Learned(string capture, string file, params string[] further)
    {
        var run = CommandRun.Of(["learn", capture, .. further, "--out", file, "--format", "json"]);
        Assert.Equal(0, run.Status);
        return JsonDocument.Parse(run.Output);
    }
}

/// <summary>The baseline of the built-in car's healthy drive, learned once for all tests that hold something against it.</summary>
public sealed class LearnedDemo : IDisposable
{
    private readonly ScratchFolder folder = new();

    public LearnedDemo()
    {
        Definitions = folder.File("baseline.yaml");
        Json = CommandRun.Of("learn", "demo:healthy", "--out", Definitions, "--format", "json").Output;
    }

    /// <summary>The definition file.</summary>
    public string Definitions { get; }

    /// <summary>What the command printed.</summary>
    public string Json { get; }

    public void Dispose() => folder.Dispose();
}
