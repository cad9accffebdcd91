using BusScope.Frames;
using Xunit;

namespace BusScope.Demo.Tests;

public sealed class StoryTests
{
    [Fact]
    public void The_swapped_drive_holds_its_eight_faults_and_no_other()
    {
        var recording = Recording.Of("swapped");
        var faults = ContentTests.Faults("swapped").Where(f => !f.Contains("error report", StringComparison.Ordinal)).Select(f => f.Split(' ')[0]).Distinct().Order();
        var cooling = new CanId(0x1D4, false);
        var starter = recording.On("chassis").Where(f => f.Id == new CanId(0x126, false)).Select(f => f.Time).ToList();

        Assert.Equal(
            ["EngineDisplay/DisplayOilTemp:", "EngineIdentity:", "EngineTemperatures/CoolantTemperature:", "EngineTorque:", "PedalPosition:", "VehicleSpeed:"],
            faults);
        Assert.DoesNotContain(recording.On("cabin"), f => f.Id == cooling);
        Assert.InRange((starter[^1] - starter[0]).Seconds / (starter.Count - 1), 0.29, 0.31);
    }

    [Fact]
    public void A_good_start_runs_through_the_whole_chain_in_order()
    {
        double[] steps =
        [
            First("good-start", "KeyPosition", v => v == 3),
            First("good-start", "StartRequest", v => v == 1),
            First("good-start", "CrankRelay", v => v == 1),
            First("good-start", "EngineSpeed", v => v > 100),
            First("good-start", "EngineSynchronous", v => v == 1),
            First("good-start", "EngineState", v => v == 2),
        ];

        // The cabin bus is slower than the chassis bus: the request may be seen a little before the key.
        Assert.True(steps[1] > steps[0] - 0.06);
        Assert.Equal(steps.Skip(1).Order(), steps.Skip(1));
        Assert.True(ContentTests.Values("good-start", "BatteryVoltage").Min(v => v.Value) >= 9.6);
    }

    [Fact]
    public void With_an_unknown_key_all_messages_are_there_and_say_no()
    {
        Assert.Empty(ContentTests.Faults("no-start-key"));
        Assert.DoesNotContain(ContentTests.Values("no-start-key", "CrankRelay"), v => v.Value != 0);
        Assert.DoesNotContain(ContentTests.Values("no-start-key", "Immobiliser"), v => v.Value != 0);
        Assert.Contains(ContentTests.Values("no-start-key", "StartInhibit"), v => v.Value == 1);
    }

    [Fact]
    public void Without_the_crank_sensor_the_starter_turns_and_no_speed_is_seen()
    {
        Assert.Contains(ContentTests.Values("no-start-sensor", "CrankRelay"), v => v.Value == 1);
        Assert.DoesNotContain(ContentTests.Values("no-start-sensor", "EngineSpeed"), v => v.Value != 0);
        Assert.InRange(ContentTests.Values("no-start-sensor", "BatteryVoltage").Min(v => v.Value), 9.6, 11.9);
    }

    [Fact]
    public void With_a_weak_battery_the_voltage_falls_first_and_then_the_chassis_bus_falls_silent()
    {
        var sag = First("no-start-battery", "BatteryVoltage", v => v < 9.6);
        var chassis = Recording.Of("no-start-battery").On("chassis").Where(f => !f.IsErrorReport).Select(Seconds).Where(t => t > 1).ToList();
        var silences = chassis.Zip(chassis.Skip(1)).Where(p => p.Second - p.First > 0.3).ToList();

        Assert.NotEmpty(silences);
        Assert.InRange(silences[0].First, sag, sag + 0.3);
        Assert.Contains(Recording.Of("no-start-battery").Frames, f => f.IsErrorReport);
        Assert.DoesNotContain(ContentTests.Values("no-start-battery", "EngineState"), v => v.Value == 2);
    }

    [Fact]
    public void When_the_request_does_not_arrive_only_its_message_is_missing()
    {
        var good = Ids("good-start");
        var bad = Ids("no-start-request");

        Assert.Equal([new CanId(0x0F0, false)], good.Except(bad));
        Assert.DoesNotContain(ContentTests.Values("no-start-request", "CrankRelay"), v => v.Value != 0);
    }

    [Fact]
    public void Nobody_acknowledges_on_the_race_bus()
    {
        var race = Recording.Of("unacknowledged").On("race").ToList();

        Assert.Equal(16, race.Count(f => f.IsErrorReport));
        Assert.Single(race.TakeLast(5000).Select(f => (f.Id, f.FirstEight)).Distinct());
        Assert.All(ContentTests.Values("unacknowledged", "EngineSpeed"), v => Assert.True(double.IsNaN(v.Value)));
    }

    [Fact]
    public void Every_story_says_what_it_tells_and_its_definitions_load()
    {
        Assert.All(DemoStories.All, s =>
        {
            Assert.EndsWith(".", s.Text, StringComparison.Ordinal);
            Assert.EndsWith(".", s.Finds, StringComparison.Ordinal);
            Assert.Empty(DemoDefinitions.LoadFor(s).Diagnostics);
        });
    }

    [Fact]
    public void The_document_lists_every_story_with_its_own_words()
    {
        var document = File.ReadAllText(TestKit.RepoFiles.Path("docs", "demo.md"));

        Assert.All(DemoStories.All, s => Assert.Contains($"| `{s.Name}` | {s.Text} | {s.Finds} |", document, StringComparison.Ordinal));
    }

    private static double Seconds(Frame frame) => Recording.At(frame);

    private static HashSet<CanId> Ids(string story) => [.. Recording.Of(story).Frames.Where(f => !f.IsErrorReport).Select(f => f.Id)];

    private static double First(string story, string signal, Predicate<double> holds) =>
        ContentTests.Values(story, signal).First(v => holds(v.Value)).At;
}
