using System.Buffers.Binary;
using BusScope.Frames;
using BusScope.TestKit;
using CsCheck;
using Xunit;

namespace BusScope.Transport.Tests.Recording;

public sealed class RecorderTests : IDisposable
{
    private readonly SomeRecording recording = new();

    public void Dispose() => recording.Dispose();

    private static List<Frame> Frames(int count, int first = 0) =>
        [.. Enumerable.Range(first, count).Select(i => Some.Frame((uint)i & 0x7FF, "0102030405060708", i, bus: (ushort)(i % 2)))];

    private static IEnumerable<string> Lines(IEnumerable<Frame> frames) => frames.Select(ReadFrames.Line);

    [Fact]
    public void What_was_given_stands_in_the_file_with_buses_and_bit_rates()
    {
        recording.Begin().Give(Frames(1000));

        var status = recording.Stop();

        var (source, read) = SomeRecording.Read(recording.Path);
        Assert.Equal(Lines(Frames(1000)), read.Lines);
        Assert.Equal([("chassis", 500_000L), ("cabin", 125_000L)], source.Buses.Select(bus => (bus.Name, bus.BitRate!.Value)));
        Assert.Empty(source.Problems.All);
        Assert.Equal((1000L, new FileInfo(recording.Path).Length, 1, null), (status.Frames, status.Bytes, status.Files, status.Failure));
    }

    [Fact]
    public void From_the_first_moment_there_is_a_file_that_opens()
    {
        recording.Begin();

        var (source, read) = SomeRecording.Read(recording.Path);

        Assert.Empty(read.Frames);
        Assert.Empty(source.Problems.All);
    }

    [Fact]
    public void A_killed_program_loses_a_quarter_of_a_second_at_most()
    {
        recording.Begin().Give(Frames(10));
        Assert.Empty(SomeRecording.Read(recording.Path).Read.Frames);

        recording.Turn(seconds: 0.25);

        Assert.Equal(Lines(Frames(10)), SomeRecording.Read(recording.Path).Read.Lines);
    }

    [Fact]
    public void Whatever_part_of_the_file_a_power_failure_leaves_is_read_up_to_its_last_whole_block()
    {
        var frames = FrameGens.Frame(2, FrameGens.AnyTime).Array[60].Single();
        recording.Begin().Give(frames);
        recording.Recorder.ReportLost(1, 7);
        recording.Stop();
        var bytes = File.ReadAllBytes(recording.Path);
        var ends = PacketEnds(bytes);

        for (var length = 28; length < bytes.Length; length++)
        {
            var (source, read) = Captures.Read(bytes[..length]);

            Assert.Equal(Lines(frames.Take(ends.Count(end => end <= length))), read.Lines);
            Assert.DoesNotContain(source.Problems.All, problem => problem.Kind == CaptureProblems.Damaged);
        }
    }

    // Where packet blocks end, from the lengths in front of the blocks (draft-ietf-opsawg-pcapng, section 3.1; type 6 is a packet).
    private static List<int> PacketEnds(byte[] bytes)
    {
        var ends = new List<int>();
        for (var at = 0; at < bytes.Length;)
        {
            var type = BinaryPrimitives.ReadUInt32LittleEndian(bytes.AsSpan(at));
            at += BinaryPrimitives.ReadInt32LittleEndian(bytes.AsSpan(at + 4));
            if (type == 6)
            {
                ends.Add(at);
            }
        }

        return ends;
    }

    [Fact]
    public void Files_take_turns_by_size_and_the_oldest_of_this_recording_make_room()
    {
        var foreign = Path.Combine(recording.Folder, "drive-0000-20200101T000000Z.pcapng");
        File.WriteAllBytes(foreign, new byte[300_000]);
        recording.Begin(options => options with { RotateSize = 100_000, Keep = 350_000 });

        recording.Give(Frames(20_000));
        var status = recording.Stop();

        var files = recording.Files;
        Assert.Equal(foreign, files[0]);
        Assert.All(files[1..], file => Assert.InRange(new FileInfo(file).Length, 1, 100_000));
        Assert.InRange(files[1..].Sum(file => new FileInfo(file).Length), 200_000, 350_000);
        var kept = files[1..].SelectMany(file => SomeRecording.Read(file).Read.Lines).ToList();
        Assert.Equal(Lines(Frames(kept.Count, 20_000 - kept.Count)), kept);
        Assert.Equal((20_000L, files.Length - 1), (status.Frames, status.Files - status.Removed));
        Assert.True(status.Removed > 3);
    }

    [Fact]
    public void Every_file_says_which_one_came_before_it()
    {
        recording.Begin(options => options with { RotateSize = 100_000 }).Give(Frames(5_000));
        recording.Stop();

        var comments = recording.Files.Select(file => string.Join('|', SomeRecording.Read(file).Source.Comments));

        Assert.Equal(["", "part 2 of a recording; the part before it is drive-0001-20260314T092653Z.pcapng"], comments.Take(2));
    }

    [Fact]
    public void Files_take_turns_by_time()
    {
        recording.Begin(options => options with { RotateTime = TimeSpan.FromMinutes(1) });
        recording.Give(Frames(10));
        recording.Turn(seconds: 59);
        recording.Give(Frames(10, 10));
        recording.Turn(seconds: 1);
        recording.Give(Frames(10, 20));
        recording.Stop();

        Assert.Equal(["drive-0001-20260314T092653Z.pcapng", "drive-0002-20260314T092753Z.pcapng"], recording.Files.Select(Path.GetFileName));
        Assert.Equal([20, 10], recording.Files.Select(file => SomeRecording.Read(file).Read.Frames.Count));
    }

    [Fact]
    public void A_next_file_that_cannot_be_created_ends_the_recording_with_the_figures_of_those_before()
    {
        recording.Begin(options => options with { RotateTime = TimeSpan.FromMinutes(1) });
        recording.Give(Frames(10));
        File.WriteAllText(Path.Combine(recording.Folder, "drive-0002-20260314T092753Z.pcapng"), "in the way");

        var goesOn = recording.Turn(seconds: 60);

        var status = recording.Recorder.Status;
        Assert.False(goesOn);
        Assert.Contains("drive-0002-20260314T092753Z.pcapng: cannot be written: ", status.Failure, StringComparison.Ordinal);
        Assert.Equal((10L, new FileInfo(recording.Files[0]).Length), (status.Frames, status.Bytes));
        Assert.Equal(Lines(Frames(10)), SomeRecording.Read(recording.Files[0]).Read.Lines);
    }

    [Fact]
    public void A_silent_bus_begins_no_further_files()
    {
        recording.Begin(options => options with { RotateTime = TimeSpan.FromMinutes(1) });

        for (var i = 0; i < 10; i++)
        {
            recording.Turn(seconds: 60);
        }

        Assert.Single(recording.Files);
    }

    [Fact]
    public void A_clock_that_is_set_back_changes_nothing_but_the_times()
    {
        List<Frame> frames = [Some.Frame(1, "01", 5_000), Some.Frame(1, "02", -3_000), Some.Frame(1, "03", -2_990), Some.Frame(1, "04", 10_000)];
        recording.Begin(options => options with { RotateTime = TimeSpan.FromMinutes(1) });
        recording.Give(frames);
        recording.Time.AdjustTime(recording.Time.GetUtcNow());

        recording.Stop();

        Assert.Equal(Lines(frames), SomeRecording.Read(Assert.Single(recording.Files)).Read.Lines);
    }

    [Fact]
    public void A_disk_that_runs_full_ends_the_recording_before_it_is()
    {
        recording.Begin().Give(Frames(10));

        recording.Room = 99_999_999;
        var goesOn = recording.Turn(seconds: 1);

        Assert.False(goesOn);
        Assert.Equal($"{recording.Path}: recording ended: the disk has 100 MB left, and 100 MB are to be left free", recording.Recorder.Status.Failure);
        Assert.Equal(Lines(Frames(10)), SomeRecording.Read(recording.Path).Read.Lines);
    }

    [Fact]
    public void A_disk_that_fills_fast_is_asked_more_often()
    {
        recording.Begin();
        recording.Room = 0;

        recording.Give(Frames(400_000));

        Assert.NotNull(recording.Recorder.Status.Failure);
        Assert.InRange(recording.Recorder.Status.Bytes, 15_000_000, 17_000_000);
    }

    [Fact]
    public void A_disk_without_room_is_told_before_anything_is_written()
    {
        recording.Room = 1_000_000;

        var failure = Assert.Throws<IOException>(() => recording.Begin());

        Assert.Equal($"{recording.Path}: cannot be written: the disk has 1 MB left, and 100 MB are to be left free", failure.Message);
        Assert.Empty(recording.Files);
    }

    [Fact]
    public void A_folder_that_may_not_be_written_is_told()
    {
        Assert.SkipWhen(Environment.UserName == "root", "root may write everywhere");
        SetMode(UnixFileMode.UserRead | UnixFileMode.UserExecute);

        var failure = Assert.Throws<IOException>(() => recording.Begin());

        Assert.Equal($"{recording.Path}: cannot be written: this user may not write there", failure.Message);
        SetMode(UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.UserExecute);
    }

    private void SetMode(UnixFileMode mode)
    {
        if (!OperatingSystem.IsWindows())
        {
            File.SetUnixFileMode(recording.Folder, mode);
        }
    }

    [Fact]
    public void A_file_that_is_there_is_left_alone()
    {
        File.WriteAllText(recording.Path, "precious");

        var failure = Assert.Throws<IOException>(() => recording.Begin());

        Assert.StartsWith($"{recording.Path}: cannot be written: ", failure.Message, StringComparison.Ordinal);
        Assert.Equal("precious", File.ReadAllText(recording.Path));
    }

    [Fact]
    public void A_device_is_not_written_not_even_through_a_link()
    {
        Assert.SkipUnless(File.Exists("/dev/full"), "there is no /dev/full here");
        File.CreateSymbolicLink(recording.Path, "/dev/full");

        var failure = Assert.Throws<IOException>(() => recording.Begin(options => options with { Overwrite = true }));

        Assert.StartsWith($"{recording.Path}: cannot be written: it stands for a device", failure.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Frames_that_the_adapter_lost_stand_in_each_file_once()
    {
        recording.Begin(options => options with { RotateTime = TimeSpan.FromMinutes(1) }).Give(Frames(10));
        recording.Recorder.ReportLost(1, 5);
        recording.Turn(seconds: 1);
        Assert.Equal(["recorder-dropped 5"], Captures.Problems(SomeRecording.Read(recording.Files[0]).Source));

        recording.Recorder.ReportLost(1, 7);
        recording.Turn(seconds: 59);
        recording.Give(Frames(10, 10));
        recording.Recorder.ReportLost(1, 8);
        var status = recording.Stop();

        Assert.Equal(["recorder-dropped 7", "recorder-dropped 1"], recording.Files.SelectMany(file => Captures.Problems(SomeRecording.Read(file).Source)));
        Assert.Equal([null, 7L], Enumerable.Range(0, 2).Select(bus => SomeRecording.Read(recording.Files[0]).Source.StatusOf(bus)?.LostFrames));
        Assert.Equal(8, status.Lost);
    }

    [Fact]
    public void A_mark_stands_on_the_frame_that_comes_next()
    {
        recording.Begin().Give(Frames(3));
        recording.Recorder.Mark("mark: pedal down");
        recording.Give(Frames(3, 3));
        recording.Stop();

        Assert.Equal(["4: mark: pedal down"], SomeRecording.Read(recording.Path).Read.Notes);
    }

    [Fact]
    public void A_mark_on_a_silent_bus_is_written_without_a_frame()
    {
        recording.Begin().Give(Frames(3));
        recording.Recorder.Mark("mark: nothing comes");
        for (var i = 0; i < 5; i++)
        {
            recording.Turn(seconds: 0.3);
        }

        Assert.Equal(["mark: nothing comes"], SomeRecording.Read(recording.Path).Source.Comments);
    }

    [Fact]
    public void A_disk_that_is_too_slow_makes_reading_wait_and_nothing_is_lost()
    {
        recording.Begin();
        var giving = Task.Run(
            () =>
            {
                foreach (var batch in Some.Batches(Frames(10_000)))
                {
                    recording.Recorder.Accept(batch, SomeRecording.Buses, TestContext.Current.CancellationToken);
                }
            },
            TestContext.Current.CancellationToken);
        Assert.True(SpinWait.SpinUntil(() => recording.Recorder.Waits > 0, TimeSpan.FromSeconds(20)));

        while (!giving.IsCompleted)
        {
            recording.Recorder.Turn(TimeSpan.FromMilliseconds(5));
        }

        var status = recording.Stop();
        Assert.Equal(Lines(Frames(10_000)), SomeRecording.Read(recording.Path).Read.Lines);
        Assert.True(status.Waits > 0);
    }

    [Fact]
    public void Recording_allocates_nothing_per_frame()
    {
        recording.Begin(options => options with { Before = FrameSpan.FromMilliseconds(100) });
        var batch = Some.Batches(Frames(256)).First();
        for (var i = 0; i < 40; i++)
        {
            Once();
        }

        recording.Recorder.Trigger();
        Once();
        Assert.Equal(0, Allocation.Of(Once));

        void Once()
        {
            recording.Recorder.Accept(batch, SomeRecording.Buses, CancellationToken.None);
            recording.Recorder.Turn(TimeSpan.Zero);
        }
    }
}
