using BusScope.Frames;
using BusScope.TestKit;
using BusScope.Transport.Recording;
using CsCheck;
using Xunit;

namespace BusScope.Transport.Tests.Recording;

/// <summary>Recordings that begin before their trigger.</summary>
public class TriggerTests
{
    private static Frame At(int milliseconds, uint id = 1) => Some.Frame(id, "01", milliseconds);

    private static IEnumerable<string> Lines(IEnumerable<Frame> frames) => frames.Select(ReadFrames.Line);

    [Fact]
    public void Exactly_the_time_asked_for_before_the_trigger_and_everything_from_it_on_is_recorded() =>
        Gen.Select(Gen.Int[0, 50].Array[1, 600], Gen.Int[0, 599], Gen.Int[0, 3000]).Sample(
            (steps, trigger, span) =>
            {
                var time = 0;
                List<Frame> frames = [.. steps.Select((step, i) => At(time += step, i == trigger ? 7u : 1u))];
                using var recording = new SomeRecording().Begin(options => options with { Before = FrameSpan.FromMilliseconds(span) }, new OnIdentifier(7));
                recording.Give(frames);
                var status = recording.Stop();

                var read = SomeRecording.Read(recording.Path).Read;
                var from = trigger < frames.Count ? frames.FindIndex(frame => frame.Time >= frames[trigger].Time - FrameSpan.FromMilliseconds(span)) : frames.Count;
                Assert.Equal(Lines(frames.Skip(from)), read.Lines);
                Assert.Equal(trigger >= frames.Count, status.IsWaiting);
            },
            iter: 50);

    [Fact]
    public void A_clock_that_is_set_back_before_the_trigger_does_not_empty_the_memory()
    {
        // 10 s, then set back by an hour; two seconds later the trigger. Three seconds before it: one of the old time.
        List<Frame> frames = [.. Enumerable.Range(0, 10).Select(i => At(i * 1000)), At(-3_600_000), At(-3_599_000), At(-3_598_000, 7)];
        using var recording = new SomeRecording().Begin(options => options with { Before = FrameSpan.FromSeconds(2) }, new OnIdentifier(7));

        recording.Give(frames);
        recording.Stop();

        Assert.Equal(Lines(frames.Skip(9)), SomeRecording.Read(recording.Path).Read.Lines);
    }

    [Fact]
    public void A_key_begins_at_once_with_what_is_in_memory()
    {
        using var recording = new SomeRecording().Begin(options => options with { Before = FrameSpan.FromSeconds(1) });
        recording.Give(Enumerable.Range(0, 30).Select(i => At(i * 100)));
        Assert.True(recording.Recorder.Status.IsWaiting);

        recording.Recorder.Mark("mark: now");
        recording.Turn();
        recording.Give([At(3000)]);
        recording.Stop();

        var read = SomeRecording.Read(recording.Path).Read;
        Assert.Equal(Lines(Enumerable.Range(19, 12).Select(i => At(i * 100))), read.Lines);
        Assert.Equal(["12: mark: now"], read.Notes);
    }

    [Fact]
    public void A_trigger_that_never_comes_leaves_a_file_without_frames()
    {
        using var recording = new SomeRecording().Begin(options => options with { Before = FrameSpan.FromSeconds(1) }, new OnIdentifier(7));
        recording.Give([At(0), At(1)]);

        var status = recording.Stop();

        Assert.True(status.IsWaiting);
        Assert.Empty(SomeRecording.Read(recording.Path).Read.Frames);
    }

    [Fact]
    public void Memory_is_bounded_and_what_had_no_room_is_counted()
    {
        var memory = new FrameMemory(FrameSpan.FromSeconds(1000), limit: 1 << 13);
        foreach (var batch in Some.Batches(Enumerable.Range(0, 10_000).Select(i => At(i))))
        {
            memory.Add(batch, batch.Count);
        }

        var read = new List<Frame>();
        memory.Empty(null, batch => read.AddRange(batch.Frames));

        Assert.Equal(Lines(Enumerable.Range(10_000 - (1 << 13), 1 << 13).Select(i => At(i))), Lines(read));
        Assert.Equal(10_000 - (1 << 13), memory.NoRoom);
    }

    [Fact]
    public void Comments_of_remembered_frames_stay_with_them()
    {
        var memory = new FrameMemory(FrameSpan.FromSeconds(1));
        var batch = new FrameBatch();
        batch.Add() = At(0);
        batch.Note("too old");
        batch.Add() = At(5000);
        batch.Add() = At(5001);
        batch.Note("kept");
        memory.Add(batch, 3);

        var notes = new List<FrameNote>();
        memory.Empty(null, part => notes.AddRange(part.Notes));

        Assert.Equal([new FrameNote(1, "kept")], notes);
    }

    private sealed class OnIdentifier(uint id) : IRecordingTrigger
    {
        public int Find(FrameBatch batch, IReadOnlyList<Bus> buses) => batch.Frames.ToArray().ToList().FindIndex(frame => frame.Id.Value == id);
    }
}
