using System.Globalization;
using BusScope.Demo;
using BusScope.Frames;
using BusScope.Health;
using BusScope.Session;
using BusScope.Signals.Plans;
using Microsoft.Extensions.Time.Testing;

namespace BusScope.Benchmarks.Live;

/// <summary>A live session over 24 hours of a simulated clock: the built-in car's healthy drive again and again, and the memory in use each few hours.</summary>
internal static class LongDay
{
    private const int Hours = 24;

    /// <summary>Runs it and prints the figures.</summary>
    public static void Run()
    {
        var story = DemoStories.All[0];
        var monitor = new HealthMonitor(new DefinitionPlan(DemoDefinitions.LoadFor(story).Definitions!), new MonitorOptions { MarkChanges = true });
        var time = new FakeTimeProvider();
        using var source = new Again(story.Name);
        using var session = new MonitorSession(source, monitor, time);
        for (var hour = 0; hour <= Hours; hour++)
        {
            var until = TimeSpan.FromHours(hour);
            while (source.Passed < until)
            {
                session.Turn(CancellationToken.None);
                time.Advance(TimeSpan.FromMilliseconds(50));
            }

            if (hour is 0 or 1 || hour % 4 == 0)
            {
                Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{hour,2} h: {session.Current.Health.Frames,12:N0} frames, {GC.GetTotalMemory(forceFullCollection: true) / 1e6:0.00} MB in use"));
            }
        }
    }

    // The drive, sent again from the beginning with later times. Every fiftieth second only, so that a day takes minutes.
    private sealed class Again(string story) : IFrameSource
    {
        private const int Stride = 50;
        private DemoSource drive = DemoSource.Open(story);
        private FrameTime first = FrameTime.Never;
        private FrameTime last = FrameTime.Never;
        private FrameSpan offset = FrameSpan.Zero;

        public TimeSpan Passed => first.IsKnown ? TimeSpan.FromTicks((last - first).Nanoseconds / 100) : TimeSpan.Zero;

        public string Name => "the same drive again";

        public IReadOnlyList<Bus> Buses => drive.Buses;

        public Frames.Diagnostics.ProblemLog Problems { get; } = new();

        public double? Progress => null;

        public SourceClock Clock => SourceClock.Theirs;

        public SourceState Read(FrameBatch batch, CancellationToken cancellation)
        {
            if (drive.Read(batch, cancellation) == SourceState.Ended)
            {
                drive.Dispose();
                drive = DemoSource.Open(story);
                offset = last - first + (FrameSpan.FromSeconds(60) * Stride);
                return SourceState.Idle;
            }

            var shifted = new FrameBatch();
            foreach (ref readonly var frame in batch.Frames)
            {
                ref var copy = ref shifted.Add();
                copy.Set(frame.Time + offset, frame.Bus, frame.Id, frame.Kinds, frame.Data);
            }

            batch.Clear();
            foreach (ref readonly var frame in shifted.Frames)
            {
                batch.Add() = frame;
                first = first.IsKnown ? first : frame.Time;
                last = frame.Time;
            }

            return SourceState.Frames;
        }

        public void Dispose() => drive.Dispose();
    }
}
