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
/// How soon a capture is on the screen, how long it takes to be read ahead, and how long a jump in it takes: a session as the screen has it,
/// with 100 jumps to moments all over the capture, each timed from the key to the snapshot that stands there.
/// </summary>
internal static class Seek
{
    private const int Jumps = 100;

    /// <summary>Runs it and prints the figures.</summary>
    /// <param name="capture">A capture file.</param>
    /// <param name="definitions">A definition file.</param>
    public static void Run(string capture, string definitions)
    {
        var time = TimeProvider.System;
        var started = time.GetTimestamp();
        var loaded = DefinitionLoader.Load([definitions]).Definitions ?? throw new InvalidDataException(definitions);
        var pace = new ReplayPace(time);
        using var session = new MonitorSession(
            CaptureFile.Open(capture),
            new HealthMonitor(new DefinitionPlan(loaded), new MonitorOptions { MarkChanges = true }),
            pace,
            time,
            () => CaptureFile.Open(capture));
        session.Start();
        Wait(() => session.Current.Health.Frames > 0);
        Say($"first picture after {Milliseconds(started):0} ms");

        Wait(() => session.Current.Survey!.IsOver);
        var survey = session.Current.Survey!;
        Say($"read ahead after {Milliseconds(started) / 1000:0.0} s; {survey.Events.Count} events, {survey.Findings.Count} findings");
        using (var process = System.Diagnostics.Process.GetCurrentProcess())
        {
            Say($"{GC.GetTotalMemory(forceFullCollection: true) / 1e6:0} MB held, {process.PeakWorkingSet64 / 1e6:0} MB at the most in use");
        }

        pace.IsPaused = true;
        var whole = survey.Whole ?? throw new InvalidDataException("the clock of the capture was set back");
        var dice = new Random(24);
        var took = new List<double>();
        for (var i = 0; i < Jumps; i++)
        {
            var moment = whole.First + new FrameSpan(dice.NextInt64((whole.Last - whole.First).Nanoseconds));
            var asked = time.GetTimestamp();
            session.JumpTo(moment);
            Wait(() => session.Current is { GoingTo: null } shown && shown.Health.Now == moment);
            took.Add(Milliseconds(asked));
        }

        took.Sort();
        Say($"{Jumps} jumps: median {took[Jumps / 2]:0} ms, 95 % within {took[Jumps * 95 / 100]:0} ms, {took[^1]:0} ms at the most");

        double Milliseconds(long since) => time.GetElapsedTime(since).TotalMilliseconds;
    }

    // Looked for every millisecond: the session does not tell.
    private static void Wait(Func<bool> isThere)
    {
        using var beat = new ManualResetEventSlim();
        while (!isThere())
        {
            _ = beat.Wait(1);
        }
    }

    private static void Say(FormattableString text) => Console.WriteLine(text.ToString(CultureInfo.InvariantCulture));
}
