using BusScope.Demo.Senders;
using BusScope.Frames;
using BusScope.Signals.Definitions;
using BusScope.Signals.Plans;
using Xunit;

namespace BusScope.Demo.Tests;

public sealed class ContentTests
{
    [Theory]
    [InlineData("healthy")]
    [InlineData("launch")]
    [InlineData("good-start")]
    [InlineData("j1939")]
    [InlineData("obd")]
    public void Every_frame_of_a_sound_story_has_the_right_length_counter_and_checksum_and_values_in_range(string story)
    {
        var faults = Faults(story);

        Assert.Empty(faults.Take(20));
    }

    [Fact]
    public void Every_message_and_every_signal_of_the_definitions_appears_in_the_healthy_drive()
    {
        var recording = Recording.Of("healthy");
        var plan = Network.Dunlin.Plan;
        var seen = new HashSet<string>();
        foreach (var frame in recording.Frames)
        {
            var message = plan.Messages[plan.Find(recording.Buses[frame.Bus].Name, false, frame.Id)];
            for (var i = 0; i < message.Signals.Count; i++)
            {
                if (message.Read(i, frame.Data).Quality != SampleQuality.Absent)
                    seen.Add(message.Signals[i].Definition.Name);
            }
        }

        Assert.Equal(plan.Messages.SelectMany(m => m.Signals).Select(s => s.Definition.Name).Order(), seen.Order());
    }

    [Fact]
    public void Periodic_messages_of_the_healthy_drive_keep_their_period()
    {
        var recording = Recording.Of("healthy");
        var plan = Network.Dunlin.Plan;
        foreach (var group in recording.Frames.Where(f => Recording.At(f) is >= 5 and < 55).GroupBy(f => (f.Bus, f.Id)))
        {
            var definition = plan.Messages[plan.Find(recording.Buses[group.Key.Bus].Name, false, group.Key.Id)].Definition;
            if (definition.Timing.Every is not { } every || definition.Timing.OnChange)
                continue;
            var times = group.Select(f => f.Time).ToList();
            var gaps = times.Zip(times.Skip(1), (a, b) => b - a).Order().ToList();

            // Oscillators are off by at most 50 parts per million; a frame waits for a few others at most.
            Assert.InRange((times[^1] - times[0]).Milliseconds / gaps.Count, every.Milliseconds * 0.9997, every.Milliseconds * 1.0003);
            Assert.True(gaps[^1] < definition.Timing.LateAfter!.Value, $"{definition.Name}: {gaps[^1]} between two frames");
        }
    }

    [Fact]
    public void Speeds_read_from_the_bus_are_those_of_the_car()
    {
        var front = Values("healthy", "WheelSpeedFrontLeft");
        var race = Values("healthy", "RaceFreeSpeed");

        foreach (var (at, value) in front.Where(f => f.At is > 30 and < 38))
        {
            var same = race.MinBy(r => Math.Abs(r.At - at)).Value;
            Assert.InRange(value, same * 0.985, same * 1.015);
        }
    }

    [Fact]
    public void Wheel_speeds_below_the_cut_off_read_zero()
    {
        var least = Values("healthy", "WheelSpeedFrontRight").Where(v => v.Value > 0).Min(v => v.Value);

        Assert.InRange(least, 1.4, 2);
    }

    internal static List<(double At, double Value)> Values(string story, string signal)
    {
        var recording = Recording.Of(story);
        var plan = Network.Dunlin.Plan;
        var (message, index) = plan.FindSignal(signal)!.Value;
        return [.. recording.Frames
            .Where(f => !f.IsErrorReport && plan.Find(recording.Buses[f.Bus].Name, false, f.Id) == message)
            .Select(f => (Recording.At(f), plan.Messages[message].Read(index, f.Data).Value))];
    }

    /// <summary>Every fault of a story's frames, one line each.</summary>
    internal static IEnumerable<string> Faults(string story)
    {
        var recording = Recording.Of(story);
        var plan = Stories.StoryPlans.Find(story)!.Network.Plan;
        var last = new Dictionary<int, (FrameTime At, int Counter)>();
        foreach (var frame in recording.Frames)
        {
            var found = frame.IsErrorReport ? -1 : plan.Find(recording.Buses[frame.Bus].Name, recording.Buses.Count == 1, frame.Id);
            if (found < 0)
            {
                yield return $"{frame.Time}: {(frame.IsErrorReport ? "error report" : frame.Id)}";
                continue;
            }

            var message = plan.Messages[found];
            var name = message.Definition.Name;
            if (frame.Length != message.Definition.Length)
            {
                yield return $"{name}: length {frame.Length}";
                continue;
            }

            if (message.ChecksumHolds(frame.Data) == false)
                yield return $"{name}: checksum {Convert.ToHexString(frame.Data)}";
            if (message.Counter(frame.Data) is { } counter)
            {
                var definition = message.Definition.Counter!;
                // A module that slept goes on where it was; nobody expects more of it.
                if (last.TryGetValue(found, out var before) && counter != (before.Counter + definition.Step) % definition.Modulo)
                    yield return $"{name}: counter {before.Counter} then {counter}";
                last[found] = (frame.Time, counter);
            }

            for (var i = 0; i < message.Signals.Count; i++)
            {
                var sample = message.Read(i, frame.Data);
                var signal = message.Signals[i].Definition;
                var isText = signal.Encoding == SignalEncoding.Text;
                if (sample.Quality is not (SampleQuality.Ok or SampleQuality.Absent) && !(story == "j1939" && sample.Quality == SampleQuality.NotAvailable))
                    yield return $"{name}/{signal.Name}: {sample.Quality} {sample.Raw:X} {sample.Value}";
                if (!isText && signal.Values.Count > 0 && sample.Quality == SampleQuality.Ok && message.Signals[i].NameOf(sample.Raw) is null)
                    yield return $"{name}/{signal.Name}: {sample.Raw} has no name";
            }
        }
    }
}
