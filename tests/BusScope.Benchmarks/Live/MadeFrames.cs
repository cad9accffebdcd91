using BusScope.Frames;
using BusScope.Frames.Diagnostics;

namespace BusScope.Benchmarks.Live;

/// <summary>Several buses at full load in the place of an adapter: each frame at its time, made when it is read, some milliseconds at once.</summary>
/// <param name="buses">The buses.</param>
/// <param name="messages">How many messages each has; they come one after the other.</param>
/// <param name="rate">Frames a second on each.</param>
internal sealed class MadeFrames(IReadOnlyList<Bus> buses, int messages, int rate) : IFrameSource
{
    private const int Gathering = 8;

    private readonly long start = (DateTimeOffset.UtcNow - DateTimeOffset.UnixEpoch).Ticks * 100;
    private long number;

    public string Name => "made";

    public IReadOnlyList<Bus> Buses => buses;

    public ProblemLog Problems { get; } = new();

    public double? Progress => null;

    public SourceClock Clock => SourceClock.Ours;

    public SourceState Read(FrameBatch batch, CancellationToken cancellation)
    {
        batch.Clear();
        Fill(batch);
        if (batch.Count == 0)
        {
            Thread.Sleep(Gathering);
            Fill(batch);
        }

        return batch.Count > 0 ? SourceState.Frames : SourceState.Idle;
    }

    public void Dispose()
    {
    }

    private void Fill(FrameBatch batch)
    {
        var now = (DateTimeOffset.UtcNow - DateTimeOffset.UnixEpoch).Ticks * 100;
        for (; !batch.IsFull; number++)
        {
            var (round, bus) = Math.DivRem(number, buses.Count);
            var at = start + (round * FrameSpan.NanosecondsPerSecond / rate);
            if (at > now)
            {
                return;
            }

            var id = new CanId(BusyCar.FirstId + (uint)(round % messages), isExtended: false);
            batch.Add().SetClassic(new FrameTime(at), (ushort)bus, id, FrameKinds.None, 8, (ulong)round * 0x0101_0101_0101_0101);
        }
    }
}
