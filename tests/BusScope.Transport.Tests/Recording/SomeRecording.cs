using BusScope.Frames;
using BusScope.TestKit;
using BusScope.Transport.Recording;
using Microsoft.Extensions.Time.Testing;
using Xunit;

namespace BusScope.Transport.Tests.Recording;

/// <summary>A recording driven turn by turn, without its thread, in a folder of its own and by a clock that stands.</summary>
internal sealed class SomeRecording : IDisposable, IDiskSpace
{
    public static readonly Bus[] Buses = [new("chassis") { BitRate = 500_000 }, new("cabin") { BitRate = 125_000 }];

    private readonly Captures.TemporaryFolder folder = new();
    private readonly FrameBatch batch = new();

    public FakeTimeProvider Time { get; } = new(new DateTimeOffset(2026, 3, 14, 9, 26, 53, TimeSpan.Zero));

    public long? Room { get; set; } = long.MaxValue;

    public string Folder => folder.Path;

    public string Path => System.IO.Path.Combine(folder.Path, "drive.pcapng");

    public Recorder Recorder { get; private set; } = null!;

    public long? Free(string folder) => Room;

    public SomeRecording Begin(Func<RecordingOptions, RecordingOptions>? with = null, IRecordingTrigger? trigger = null)
    {
        var options = new RecordingOptions(Path) { Clock = SourceClock.Theirs };
        Recorder = new Recorder(with?.Invoke(options) ?? options, trigger, this, Time, queueLength: 4096);
        return this;
    }

    /// <summary>Hands frames over and lets the recording take them.</summary>
    public void Give(IEnumerable<Frame> frames)
    {
        foreach (var each in frames.Chunk(FrameBatch.Capacity))
        {
            batch.Clear();
            foreach (var frame in each)
            {
                batch.Add() = frame;
            }

            Recorder.Accept(batch, Buses, TestContext.Current.CancellationToken);
            Turn();
        }
    }

    /// <summary>Once round without waiting.</summary>
    public bool Turn(double seconds = 0)
    {
        Time.Advance(TimeSpan.FromSeconds(seconds));
        return Recorder.Turn(TimeSpan.Zero);
    }

    /// <summary>Ends the recording in order.</summary>
    public RecordingStatus Stop()
    {
        _ = Recorder.Stop();
        while (Turn())
        {
        }

        return Recorder.Status;
    }

    /// <summary>The files, the oldest first.</summary>
    public string[] Files => [.. Directory.GetFiles(folder.Path).Order(StringComparer.Ordinal)];

    /// <summary>What a reader finds in a file at this moment.</summary>
    public static (IFrameSource Source, ReadFrames Read) Read(string path) => Captures.Read(File.ReadAllBytes(path));

    public void Dispose()
    {
        Recorder?.Dispose();
        folder.Dispose();
    }
}
