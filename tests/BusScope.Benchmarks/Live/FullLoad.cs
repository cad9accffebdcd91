using System.Globalization;
using System.Runtime.InteropServices;
using BusScope.Frames;
using BusScope.Health;
using BusScope.Session;
using BusScope.Session.Readings;
using BusScope.Signals.Loading;
using BusScope.Signals.Plans;
using BusScope.Transport.Audit;
using BusScope.Transport.Kernel;

namespace BusScope.Benchmarks.Live;

/// <summary>
/// What a live session costs at full load: four local socket pairs in the place of four CAN interfaces, 8,000 frames a second on each, received
/// with the calls that receive from CAN sockets, and from there on what <c>watch</c> does with them: every frame looked over, its length on the wire
/// measured, its message known with seven or eight signals, a snapshot twenty times a second with the readings of a page of signals. Printed is what the receiving
/// thread takes of one core, how long frames take from the sender to the snapshot, and what is allocated. Local sockets give no time stamps,
/// so reading those is not in the figure. Then the same with frames that no kernel hands over: what of it is this program's own.
/// </summary>
internal static partial class FullLoad
{
    private const int Interfaces = 4;
    private const int FramesASecond = 8_000;
    private const int MessagesEach = 60;
    private const int SignalsShown = 32;
    private const int RecordSize = 16;
    private static readonly FrameSpan Length = FrameSpan.FromSeconds(20);

    /// <summary>Runs it and prints the figures.</summary>
    public static void Run()
    {
        var pairs = Enumerable.Range(0, Interfaces).Select(_ => Pair()).ToList();
        using var stop = new CancellationTokenSource();
        var sender = new Thread(() => Send([.. pairs.Select(pair => pair.Sender)], stop.Token)) { IsBackground = true };
        using var source = new KernelSource(
            new LinuxKernel(),
            [.. pairs.Select((pair, index) => (new Bus($"bus{index}"), new KernelInterface(-1, $"pair{index}") { IsUp = true, IsCan = true }, (ICanSocket)new PairSocket(pair.Receiver)))],
            TimeProvider.System);
        sender.Start();

        // Without stamps frames have the time at which they are read, many together: none shall be called late or to jitter for that.
        Measure("through the kernel", source, "on-change: true\n    late-after: 200 ms\n    stale-after: 500 ms\n    ");

        // A sender whose bus nobody reads any more may wait for good.
        stop.Cancel();
        using var made = new MadeFrames(source.Buses, MessagesEach, FramesASecond);
        Measure("made on the spot", made, "");
    }

    private static void Measure(string how, IFrameSource source, string timing)
    {
        var text = BusyCar.Definitions([.. source.Buses.Select(bus => bus.Name)], Interfaces * MessagesEach, 1_000.0 * MessagesEach / FramesASecond, timing);
        var definitions = DefinitionLoader.LoadTexts([new SourceText("car.yaml", text)]).Definitions!;
        var monitor = new HealthMonitor(new DefinitionPlan(definitions), new MonitorOptions { MarkChanges = true });
        using var watched = new RatedSource(new AuditedSource(source), new BusRates(new Dictionary<string, (long, long?)>(), definitions));
        using var session = new MonitorSession(watched, monitor, TimeProvider.System);
        session.Follow([.. Enumerable.Range(0, SignalsShown).Select(i => new ReadingRequest(new SignalKey(i / 7, i % 7), FrameSpan.FromSeconds(10), 40))]);

        var started = TimeProvider.System.GetTimestamp();
        for (var warm = 0; TimeProvider.System.GetElapsedTime(started) < TimeSpan.FromSeconds(3); warm++)
        {
            session.Turn(CancellationToken.None);
        }

        var (framesBefore, nanosecondsBefore, kernelBefore, bytesBefore) = (session.Current.Health.Frames, ThreadTime(), KernelTime(), GC.GetAllocatedBytesForCurrentThread());
        started = TimeProvider.System.GetTimestamp();
        var (number, reports, worst, sum) = (session.Current.Number, 0, 0.0, 0.0);
        while (TimeProvider.System.GetElapsedTime(started).TotalSeconds < Length.Seconds)
        {
            session.Turn(CancellationToken.None);
            if (session.Current.Number != number)
            {
                number = session.Current.Number;
                var age = (DateTimeOffset.UtcNow - DateTimeOffset.UnixEpoch).Ticks / 10_000.0 - (session.Current.Health.Now!.Value.Nanoseconds / 1e6);
                (reports, worst, sum) = (reports + 1, Math.Max(worst, age), sum + age);
            }
        }

        var seconds = TimeProvider.System.GetElapsedTime(started).TotalSeconds;
        var frames = session.Current.Health.Frames - framesBefore;
        var share = (ThreadTime() - nanosecondsBefore) / 1e9 / seconds;
        var ofKernel = (KernelTime() - kernelBefore) / seconds;
        var bytes = GC.GetAllocatedBytesForCurrentThread() - bytesBefore;

        Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{Interfaces} interfaces, frames {how}: {frames / seconds:0} frames/s together, {seconds:0.0} s"));
        Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"the session's thread takes {share:0.0 %} of one core; {ofKernel:0.0 %} of it inside the kernel"));
        Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"the newest frame of a snapshot is {sum / reports:0.00} ms old, {worst:0.0} ms at the most; {reports / seconds:0.0} snapshots/s"));
        Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{bytes / reports / 1024.0:0.0} KiB allocated a snapshot, {bytes / (double)frames:0.00} bytes a frame"));
    }

    // Eight frames a millisecond on each: no sleep is as short as the gap between two frames of a full bus.
    private static void Send(int[] descriptors, CancellationToken cancellation)
    {
        var record = new byte[RecordSize];
        var start = TimeProvider.System.GetTimestamp();
        for (var number = 0L; !cancellation.IsCancellationRequested; number++)
        {
            for (var i = 0; i < descriptors.Length; i++)
            {
                BitConverter.TryWriteBytes(record, (uint)(BusyCar.FirstId + (number % MessagesEach)));
                record[4] = 8;
                BitConverter.TryWriteBytes(record.AsSpan(8), number * 0x0101_0101_0101_0101);
                _ = Write(descriptors[i], record, RecordSize);
            }

            if (number % 8 == 0)
            {
                var ahead = TimeSpan.FromSeconds(number / (double)FramesASecond) - TimeProvider.System.GetElapsedTime(start);
                if (ahead > TimeSpan.Zero)
                {
                    cancellation.WaitHandle.WaitOne(ahead);
                }
            }
        }
    }

    // Nanoseconds this thread has run so far (proc(5), schedstat).
    private static long ThreadTime() => long.Parse(File.ReadAllText("/proc/thread-self/schedstat").Split(' ')[0], CultureInfo.InvariantCulture);

    // Seconds of those inside the kernel (proc(5), stat, field 15: hundredths of a second).
    private static double KernelTime() => int.Parse(File.ReadAllText("/proc/thread-self/stat").Split(')')[^1].Split(' ')[13], CultureInfo.InvariantCulture) / 100.0;

    private static (int Sender, int Receiver) Pair()
    {
        // AF_UNIX, SOCK_DGRAM: like a CAN socket it gives one record at a time.
        Span<int> both = [0, 0];
        return SocketPair(1, 2, 0, both) == 0 ? (both[0], both[1]) : throw new InvalidOperationException("no socket pair");
    }

    [LibraryImport("libc", EntryPoint = "socketpair")]
    private static partial int SocketPair(int family, int type, int protocol, Span<int> descriptors);

    [LibraryImport("libc", EntryPoint = "write")]
    private static partial nint Write(int descriptor, ReadOnlySpan<byte> bytes, nuint count);

    private sealed partial class PairSocket(int descriptor) : ICanSocket
    {
        public int Descriptor => descriptor;

        // Asked as a CAN socket is.
        public long Lost
        {
            get
            {
                Span<uint> figures = stackalloc uint[9];
                var length = figures.Length * sizeof(uint);
                return GetOption(descriptor, KernelCalls.SocketLevel, KernelCalls.MemoryFigures, figures, ref length) == 0 ? figures[8] : 0;
            }
        }

        public int Receive(MessageRoom room, int count) => Math.Max(0, Receive(descriptor, ref room.Prepare(), (uint)Math.Min(count, MessageRoom.Capacity), KernelCalls.DontWait, 0));

        public void Dispose()
        {
        }

        [LibraryImport("libc", EntryPoint = "getsockopt")]
        private static partial int GetOption(int socket, int level, int name, Span<uint> value, ref int length);

        [LibraryImport("libc", EntryPoint = "recvmmsg")]
        private static partial int Receive(int socket, ref byte headers, uint count, int flags, nint timeout);
    }
}
