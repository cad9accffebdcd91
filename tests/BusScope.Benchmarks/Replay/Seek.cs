using System.Diagnostics;
using System.Globalization;
using BusScope.Frames;
using BusScope.Health;
using BusScope.Session;
using BusScope.Session.Replay;
using BusScope.Signals.Loading;
using BusScope.Signals.Plans;
using BusScope.Transport;

namespace BusScope.Benchmarks.Replay;

/// <summary>
/// How soon a capture is on the screen, how long it takes to be read ahead, and how long a jump in it takes: a session as the screen has it, on this
/// one thread, with 100 jumps to moments all over the capture, each from the key to the snapshot that stands there. Beside the time of the clock
/// stands the processor time of the thread, which alone says something where the machine does other work besides.
/// </summary>
internal static class Seek
{
    private const int Jumps = 100;

    /// <summary>Runs it and prints the figures.</summary>
    /// <param name="capture">A capture file.</param>
    /// <param name="definitions">A definition file.</param>
    public static void Run(string capture, string definitions)
    {
        var start = Spent.Now;
        var loaded = DefinitionLoader.Load([definitions]).Definitions ?? throw new InvalidDataException(definitions);
        var pace = new ReplayPace(TimeProvider.System);
        using var session = new MonitorSession(
            CaptureFile.Open(capture),
            new HealthMonitor(new DefinitionPlan(loaded), new MonitorOptions { MarkChanges = true }),
            pace,
            TimeProvider.System,
            () => CaptureFile.Open(capture));
        Until(session, () => session.Current.Health.Frames > 0);
        Say("first picture", Spent.Now - start);

        pace.IsPaused = true;
        start = Spent.Now;
        session.ReadAhead(CancellationToken.None);
        Say("read ahead", Spent.Now - start);
        using (var process = Process.GetCurrentProcess())
        {
            Console.WriteLine(string.Create(
                CultureInfo.InvariantCulture,
                $"memory: {GC.GetTotalMemory(forceFullCollection: true) / 1e6:0} MB held, {process.PeakWorkingSet64 / 1e6:0} MB in use at the most"));
        }

        Until(session, () => session.Current.Survey!.IsOver);
        var survey = session.Current.Survey!;
        Console.WriteLine($"{survey.Events.Count} events, {survey.Findings.Count} findings");
        var whole = survey.Whole ?? throw new InvalidDataException("the clock of the capture was set back");
        var dice = new Random(24);
        var took = new List<Spent>();
        for (var i = 0; i < Jumps; i++)
        {
            var moment = whole.First + new FrameSpan(dice.NextInt64((whole.Last - whole.First).Nanoseconds));
            start = Spent.Now;
            session.JumpTo(moment);
            Until(session, () => session.Current is { GoingTo: null } shown && shown.Health.Now == moment);
            took.Add(Spent.Now - start);
        }

        took.Sort((left, right) => left.Processor.CompareTo(right.Processor));
        Say($"{Jumps} jumps, the median", took[Jumps / 2]);
        Say($"{Jumps} jumps, the slowest", took[^1]);
    }

    private static void Until(MonitorSession session, Func<bool> isThere)
    {
        while (!isThere())
        {
            _ = session.Turn(CancellationToken.None);
        }
    }

    private static void Say(string what, Spent spent) => Console.WriteLine(string.Create(
        CultureInfo.InvariantCulture, $"{what}: {spent.Clock.TotalMilliseconds:0} ms by the clock, {spent.Processor.TotalMilliseconds:0} ms of the processor"));

    /// <summary>Time by the clock, and processor time of this thread (proc(5), schedstat).</summary>
    private readonly record struct Spent(TimeSpan Clock, TimeSpan Processor)
    {
        public static Spent Now => new(
            TimeProvider.System.GetElapsedTime(0),
            TimeSpan.FromMicroseconds(long.Parse(File.ReadAllText("/proc/thread-self/schedstat").Split(' ')[0], CultureInfo.InvariantCulture) / 1_000.0));

        public static Spent operator -(Spent left, Spent right) => new(left.Clock - right.Clock, left.Processor - right.Processor);
    }
}
