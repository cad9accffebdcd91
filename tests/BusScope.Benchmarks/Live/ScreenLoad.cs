using System.Diagnostics;
using System.Globalization;
using BusScope.Frames;
using BusScope.Transport.Pcapng;

namespace BusScope.Benchmarks.Live;

/// <summary>
/// What the screen costs with much on it: the published program watches <see cref="BusyCar"/> through a pipe in tmux, 120 by 40, twenty pictures a
/// second. Printed are, for each page, its processor time as a share of one core, reading and decoding of the stream included, the bytes that it writes
/// to the terminal, and its memory; and how soon after its start the first picture stands. Needs tmux.
/// </summary>
internal static class ScreenLoad
{
    private const double TicksASecond = 100;
    private static readonly TimeSpan Length = TimeSpan.FromSeconds(10);

    /// <summary>Runs it and prints the figures.</summary>
    /// <param name="program">The published program.</param>
    public static void Run(string program)
    {
        var folder = Directory.CreateTempSubdirectory().FullName;
        var (pipe, socket, definitions, told) = (Path.Combine(folder, "pipe"), Path.Combine(folder, "tmux"), Path.Combine(folder, "car.yaml"), Path.Combine(folder, "told"));
        File.WriteAllText(definitions, BusyCar.Definitions());
        Call("mkfifo", pipe);
        using var stop = new CancellationTokenSource();
        var started = Stopwatch.GetTimestamp();
        Call("tmux", "-S", socket, "new-session", "-d", "-x", "120", "-y", "40", $"XDG_CONFIG_HOME={folder} exec {Path.GetFullPath(program)} watch pipe={pipe} --defs {definitions}");
        try
        {
            Call("tmux", "-S", socket, "pipe-pane", $"cat >{told}");
            var sender = new Thread(() => Send(pipe, stop.Token)) { IsBackground = true };
            sender.Start();
            Until(socket, "quit");
            Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"first picture {Stopwatch.GetElapsedTime(started).TotalMilliseconds:0} ms after tmux was asked to start the program, the asking included"));
            var process = int.Parse(Call("tmux", "-S", socket, "list-panes", "-F", "#{pane_pid}"), CultureInfo.InvariantCulture);
            Thread.Sleep(3_000);
            foreach (var (page, keys) in (ReadOnlySpan<(string, string[])>)[("home", []), ("signals", ["v"]), ("trace of four", ["t", "Down", "t", "Down", "t", "Down", "t", "T"])])
            {
                foreach (var key in keys)
                {
                    Call("tmux", "-S", socket, "send-keys", key);
                }

                Thread.Sleep(1_000);
                Measure(page, process, told);
            }
        }
        finally
        {
            stop.Cancel();
            Call("tmux", "-S", socket, "kill-server");
            Directory.Delete(folder, recursive: true);
        }
    }

    private static void Measure(string page, int process, string told)
    {
        var (time, bytes, clock) = (Ticks(process), new FileInfo(told).Length, Stopwatch.GetTimestamp());
        Thread.Sleep(Length);
        var seconds = Stopwatch.GetElapsedTime(clock).TotalSeconds;
        var memory = File.ReadLines($"/proc/{process}/status").First(line => line.StartsWith("VmRSS:", StringComparison.Ordinal)).Split(':')[1].Trim();
        Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{page}: {(Ticks(process) - time) / TicksASecond / seconds:0.0 %} of one core, {(new FileInfo(told).Length - bytes) / seconds / 1_000:0.0} kB/s to the terminal, {memory} in use"));
    }

    // User and system time, the fourteenth and fifteenth fields of proc(5) stat, in hundredths of a second; the name before them has no blank.
    private static double Ticks(int process) =>
        File.ReadAllText($"/proc/{process}/stat").Split(' ')[13..15].Sum(field => double.Parse(field, CultureInfo.InvariantCulture));

    private static void Send(string pipe, CancellationToken cancellation)
    {
        using var stream = new FileStream(pipe, FileMode.Open, FileAccess.Write, FileShare.ReadWrite, 1);
        using var writer = PcapngWriter.Create(stream);
        var batch = new FrameBatch();
        Bus[] buses = [new("pipe")];
        var start = Stopwatch.GetTimestamp();
        var epoch = DateTimeOffset.UtcNow - DateTimeOffset.UnixEpoch;
        try
        {
            for (var millisecond = 0L; !cancellation.IsCancellationRequested; millisecond++)
            {
                batch.Clear();
                BusyCar.Add(batch, millisecond, new FrameTime(((epoch.Ticks / TimeSpan.TicksPerMillisecond) + millisecond) * FrameSpan.NanosecondsPerMillisecond));
                writer.Write(batch, buses);
                if (millisecond % 5 == 4)
                {
                    stream.Flush();
                    var ahead = TimeSpan.FromMilliseconds(millisecond) - Stopwatch.GetElapsedTime(start);
                    if (ahead > TimeSpan.Zero)
                    {
                        cancellation.WaitHandle.WaitOne(ahead);
                    }
                }
            }
        }
        catch (IOException) when (cancellation.IsCancellationRequested)
        {
            // The program at the other end was ended first.
        }
    }

    private static void Until(string socket, string text)
    {
        var start = Stopwatch.GetTimestamp();
        while (!Call("tmux", "-S", socket, "capture-pane", "-p").Contains(text, StringComparison.Ordinal))
        {
            if (Stopwatch.GetElapsedTime(start).TotalSeconds > 20)
            {
                throw new InvalidOperationException($"{text} never came:\n{Call("tmux", "-S", socket, "capture-pane", "-p")}");
            }
        }
    }

    private static string Call(string program, params string[] arguments)
    {
        using var process = Process.Start(new ProcessStartInfo(program, arguments) { RedirectStandardOutput = true })!;
        var output = process.StandardOutput.ReadToEnd();
        process.WaitForExit();
        return output;
    }
}
