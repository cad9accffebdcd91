using System.Diagnostics;
using System.Globalization;
using BusScope.Frames;
using BusScope.Health;
using BusScope.Session.Readings;
using BusScope.Signals.Loading;
using BusScope.Signals.Plans;

namespace BusScope.Benchmarks.Live;

/// <summary>What the session's thread does between two snapshots with <see cref="BusyCar"/>: frames taken in, signals followed, a report made. Printed for each is the time and what is allocated.</summary>
internal static class SnapshotCost
{
    private const int Snapshots = 400, MillisecondsEach = 50;

    /// <summary>Runs it and prints the figures.</summary>
    public static void Run()
    {
        var plan = new DefinitionPlan(DefinitionLoader.LoadTexts([new SourceText("car.yaml", BusyCar.Definitions())]).Definitions!);
        var monitor = new HealthMonitor(plan, new MonitorOptions { MarkChanges = true });
        var watch = new SignalWatch(plan);
        var batch = new FrameBatch();
        Bus[] buses = [new("pipe") { BitRate = 8_000_000 }];
        Span<(long Ticks, long Bytes)> costs = stackalloc (long, long)[3];
        var millisecond = 0L;
        for (var snapshot = 0; snapshot < Snapshots * 2; snapshot++)
        {
            if (snapshot == Snapshots)
            {
                costs.Clear();
            }

            for (var end = millisecond + MillisecondsEach; millisecond < end; millisecond++)
            {
                batch.Clear();
                BusyCar.Add(batch, millisecond, new FrameTime(FrameSpan.FromMilliseconds(millisecond).Nanoseconds));
                Cost(ref costs[0], () => monitor.Accept(batch, buses));
                Cost(ref costs[1], () => watch.Accept(batch, buses));
            }

            Cost(ref costs[2], () => monitor.Report(isFinal: false));
        }

        foreach (var (what, cost) in (ReadOnlySpan<(string, (long Ticks, long Bytes))>)[("1,000 frames taken in", costs[0]), ("their 7,500 signals followed", costs[1]), ("a report of 200 messages", costs[2])])
        {
            Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{what}: {Stopwatch.GetElapsedTime(0, cost.Ticks).TotalMicroseconds / Snapshots:0} us, {cost.Bytes / 1024.0 / Snapshots:0.0} KiB"));
        }
    }

    private static void Cost(ref (long Ticks, long Bytes) cost, Action what)
    {
        var (ticks, bytes) = (Stopwatch.GetTimestamp(), GC.GetAllocatedBytesForCurrentThread());
        what();
        cost = (cost.Ticks + Stopwatch.GetTimestamp() - ticks, cost.Bytes + GC.GetAllocatedBytesForCurrentThread() - bytes);
    }
}
