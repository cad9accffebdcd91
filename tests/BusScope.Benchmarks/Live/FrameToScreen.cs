using System.Diagnostics;
using System.Globalization;
using BusScope.Frames;
using BusScope.Transport.Pcapng;

namespace BusScope.Benchmarks.Live;

/// <summary>
/// How long a frame takes to the terminal: the published program watches a pipe in tmux, frames with identifiers that were not there before are
/// put into the pipe one by one, and the terminal's content is asked for until each stands there. The figure includes the asking, some
/// milliseconds each time. Needs tmux.
/// </summary>
internal static class FrameToScreen
{
    private const int Frames = 40;

    /// <summary>Runs it and prints the figures.</summary>
    /// <param name="program">The published program.</param>
    public static void Run(string program)
    {
        var folder = Directory.CreateTempSubdirectory().FullName;
        var (pipe, socket) = (Path.Combine(folder, "pipe"), Path.Combine(folder, "tmux"));
        Call("mkfifo", pipe);
        Call("tmux", "-S", socket, "new-session", "-d", "-x", "120", "-y", "60", $"{Path.GetFullPath(program)} watch {pipe}");
        try
        {
            using var stream = new FileStream(pipe, FileMode.Open, FileAccess.Write, FileShare.ReadWrite, 1);
            using var writer = PcapngWriter.Create(stream);
            var waits = Enumerable.Range(0, Frames).Select(i => Wait(writer, stream, socket, (uint)(0x700 + i))).Skip(2).Order().ToList();
            Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"from a frame to the terminal: median {waits[waits.Count / 2]:0} ms, 90 % within {waits[waits.Count * 9 / 10]:0} ms, {waits[^1]:0} ms at the most, of {waits.Count} frames"));
        }
        finally
        {
            Call("tmux", "-S", socket, "kill-server");
            Directory.Delete(folder, recursive: true);
        }
    }

    private static double Wait(PcapngWriter writer, FileStream stream, string socket, uint id)
    {
        // Not in step with the program's own rhythm.
        Thread.Sleep(500 + (int)(id * 37 % 100));
        var batch = new FrameBatch();
        batch.Add().Set(new FrameTime((DateTimeOffset.UtcNow - DateTimeOffset.UnixEpoch).Ticks * 100), 0, new CanId(id, isExtended: false), FrameKinds.None, [1, 2, 3]);
        var start = Stopwatch.GetTimestamp();
        writer.Write(batch, [new Bus("pipe")]);
        stream.Flush();
        var text = id.ToString("X3", CultureInfo.InvariantCulture);
        while (!Call("tmux", "-S", socket, "capture-pane", "-p").Contains(text, StringComparison.Ordinal))
        {
            if (Stopwatch.GetElapsedTime(start).TotalSeconds > 10)
            {
                throw new InvalidOperationException($"{text} never came:\n{Call("tmux", "-S", socket, "capture-pane", "-p")}");
            }
        }

        return Stopwatch.GetElapsedTime(start).TotalMilliseconds;
    }

    private static string Call(string program, params string[] arguments)
    {
        using var process = Process.Start(new ProcessStartInfo(program, arguments) { RedirectStandardOutput = true })!;
        var output = process.StandardOutput.ReadToEnd();
        process.WaitForExit();
        return output;
    }
}
