using System.Globalization;
using BusScope.Frames;
using BusScope.Frames.Diagnostics;
using BusScope.Health;
using BusScope.Session;
using BusScope.Signals.Loading;
using BusScope.Signals.Plans;
using BusScope.Terminal;
using BusScope.Terminal.Lifetime;
using Terminal.Gui.App;
using Terminal.Gui.Drivers;
using Terminal.Gui.Input;

namespace BusScope.Benchmarks.Live;

/// <summary>
/// What the screen and its session allocate with <see cref="BusyCar"/> on it, 120 by 40, twenty pictures a second: the whole screen of the program, drawn into the
/// library's own buffer without a terminal. Printed is what all threads allocate in a second, for each page, and what of it the drawing does.
/// </summary>
internal static class ScreenMemoryUse
{
    private static readonly TimeSpan Length = TimeSpan.FromSeconds(10);

    /// <summary>Runs it and prints the figures.</summary>
    public static void Run()
    {
        Environment.SetEnvironmentVariable("DisableRealDriverIO", "1");
        var plan = new DefinitionPlan(DefinitionLoader.LoadTexts([new SourceText("car.yaml", BusyCar.Definitions())]).Definitions!);
        using var session = new MonitorSession(new BusySource(), new HealthMonitor(plan, new MonitorOptions { MarkChanges = true }), TimeProvider.System);
        using var app = Application.Create();
        app.Init(DriverRegistry.Names.ANSI);
        app.Driver!.SetScreenSize(120, 40);
        using var window = new ScreenWindow(session, new ScreenOptions(), TimeProvider.System);
        var token = app.Begin(window)!;
        session.Start();
        Draw(app, window, TimeSpan.FromSeconds(3));
        foreach (var (page, keys) in (ReadOnlySpan<(string, Key[])>)[("home", []), ("signals", ['v']), ("trace of four", ['t', Key.CursorDown, 't', Key.CursorDown, 't', Key.CursorDown, 't', 'T'])])
        {
            foreach (var key in keys)
            {
                window.NewKeyDownEvent(key);
            }

            Draw(app, window, TimeSpan.FromSeconds(1));
            var (before, drawnBefore) = (GC.GetTotalAllocatedBytes(), GC.GetAllocatedBytesForCurrentThread());
            var pictures = Draw(app, window, Length);
            var (bytes, drawn) = (GC.GetTotalAllocatedBytes() - before, GC.GetAllocatedBytesForCurrentThread() - drawnBefore);
            Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{page}: {bytes / Length.TotalSeconds / 1e6:0.00} MB/s allocated, of it {drawn / Length.TotalSeconds / 1e6:0.00} MB/s by drawing, {pictures / Length.TotalSeconds:0.0} pictures/s"));
        }

        app.End(token);
    }

    private static int Draw(IApplication app, ScreenWindow window, TimeSpan length)
    {
        var start = TimeProvider.System.GetTimestamp();
        var pictures = 0;
        while (TimeProvider.System.GetElapsedTime(start) < length)
        {
            pictures += window.Refresh() ? 1 : 0;
            app.LayoutAndDraw();
            Thread.Sleep(50);
        }

        return pictures;
    }

    // Gives the frames of each millisecond when it has come.
    private sealed class BusySource : IFrameSource
    {
        private readonly long start = TimeProvider.System.GetTimestamp();
        private readonly FrameTime first = new((DateTimeOffset.UtcNow - DateTimeOffset.UnixEpoch).Ticks * 100);
        private long next;

        public string Name => "busy";

        public IReadOnlyList<Bus> Buses { get; } = [new("pipe")];

        public ProblemLog Problems { get; } = new();

        public double? Progress => null;

        public SourceClock Clock => SourceClock.Ours;

        public SourceState Read(FrameBatch batch, CancellationToken cancellation)
        {
            batch.Clear();
            var now = (long)TimeProvider.System.GetElapsedTime(start).TotalMilliseconds;
            if (next > now)
            {
                Thread.Sleep(4);
                return SourceState.Idle;
            }

            for (; next <= now && batch.Count + (BusyCar.Messages * BusyCar.Rate / 1_000) <= FrameBatch.Capacity; next++)
            {
                BusyCar.Add(batch, next, first + FrameSpan.FromMilliseconds(next));
            }

            return SourceState.Frames;
        }

        public void Dispose()
        {
        }
    }
}
