using BusScope.Analysis.Learning;
using BusScope.Analysis.Learning.Writing;
using BusScope.Frames;
using BusScope.Signals.Loading;
using BusScope.Signals.Plans;
using BusScope.TestKit;
using BusScope.Transport;
using Xunit;

namespace BusScope.Health.Tests.Checks;

/// <summary>
/// Six seconds of a real car, ignition on, to inject faults into, with definitions made by hand from what is known of it (its
/// SOURCES.md: two checksums and counters, a sum, a counter of eight bits; periods and lengths counted in the table).
/// </summary>
internal sealed class RealTraffic
{
    public const string Definitions = """
        busscope: 1
        buses: { "0": {}, "1": {} }
        modules:
          brakes: {}
          cluster: {}
          body: { alive: Body }
        messages:
          TorqueA:
            id: 0x130
            bus: "1"
            needed-by: [brakes]
            length: 8
            every: 10 ms
            stale-after: 100 ms
            counter: { byte: 6, bits: 0..3 }
            checksum: { byte: 7, algorithm: crc8-sae-j1850, over: 0..6 }
            signals:
              Torque: { byte: 0, lives: true }
          TorqueB:
            id: 0x140
            bus: "1"
            needed-by: [brakes]
            length: 8
            every: 10 ms
            stale-after: 100 ms
            counter: { byte: 6, bits: 0..3 }
            checksum: { byte: 7, algorithm: crc8-sae-j1850, over: 0..6 }
            signals:
              Pedal: { byte: 0, not-available: 0xFF }
          Sum:
            id: 0x153
            bus: "0"
            needed-by: [cluster]
            length: 8
            every: 10 ms
            stale-after: 100 ms
            checksum: { byte: 7, algorithm: sum8, over: 0..6 }
          Wheels:
            id: 0x386
            bus: "0"
            needed-by: [cluster]
            length: 8
            every: 20 ms
            stale-after: 200 ms
          Brake:
            id: 0x394
            bus: "0"
            needed-by: [cluster]
            length: 8
            every: 20 ms
            stale-after: 200 ms
          Lamp:
            id: 0x354
            bus: "0"
            needed-by: [cluster]
            length: 8
            every: 10 ms
            stale-after: 100 ms
          Steady:
            id: 0x340
            bus: "1"
            needed-by: [brakes]
            length: 8
            every: 10 ms
            stale-after: 100 ms
            counter: { byte: 4, bits: 4..7 }
          Body:
            id: 0x490
            bus: "0"
            from: body
            length: 7
            every: 50 ms
            stale-after: 300 ms
        """;

    // Everything is awake between these seconds of the recording.
    private const double From = 2.6;
    private const double Until = 8.6;

    private static readonly Lazy<(IReadOnlyList<Bus> Buses, IReadOnlyList<Frame> Frames)> Recording = new(Read);

    private List<Frame> frames = [.. Recording.Value.Frames];

    /// <summary>Frames of both buses in order of time, times from 0 on.</summary>
    public IReadOnlyList<Frame> Frames => frames;

    /// <summary>Takes frames away.</summary>
    public RealTraffic Without(Func<Frame, bool> which)
    {
        frames.RemoveAll(frame => which(frame));
        return this;
    }

    /// <summary>Takes a message of a bus away.</summary>
    public RealTraffic Without(uint id, int bus, double from = 0, double until = double.MaxValue) =>
        Without(frame => Is(frame, id, bus) && frame.Time.Seconds >= from && frame.Time.Seconds < until);

    /// <summary>Replaces each frame of a message by any number of frames; given the frame and its number from 0.</summary>
    public RealTraffic Replace(uint id, int bus, Func<Frame, int, IEnumerable<Frame>> by)
    {
        var number = 0;
        frames = [.. frames.SelectMany(frame => Is(frame, id, bus) ? by(frame, number++) : [frame])];
        return this;
    }

    /// <summary>Replaces each frame of a message by another.</summary>
    public RealTraffic Change(uint id, int bus, Func<Frame, int, Frame> by) => Replace(id, bus, (frame, number) => [by(frame, number)]);

    /// <summary>Lets everything on a bus come later from one moment on.</summary>
    public RealTraffic Shift(int bus, double from, double by)
    {
        frames = [.. frames.Select(frame => frame.Bus == bus && frame.Time.Seconds >= from ? Copy(frame, by) : frame)];
        return this;
    }

    /// <summary>The numbers, from 1, of the frames of a message in the order in which a check sees them.</summary>
    public IReadOnlyList<long> NumbersOf(uint id, int bus) =>
        [.. frames.OrderBy(frame => frame.Time).Select((frame, index) => (frame, Number: index + 1L)).Where(each => Is(each.frame, id, bus)).Select(each => each.Number)];

    /// <summary>What learning writes down of this traffic.</summary>
    public string Learned()
    {
        var study = new CaptureStudy();
        study.Read(new ListSource(Recording.Value.Buses, [.. frames.OrderBy(frame => frame.Time)]), null, TestContext.Current.CancellationToken);
        using var writer = new StringWriter();
        BaselineText.Write(Baseline.Learn(study, ["a real car"], new Dictionary<string, long>(), TestContext.Current.CancellationToken), writer);
        return writer.ToString();
    }

    /// <summary>What a check says.</summary>
    public HealthReport Check(string definitions = Definitions)
    {
        var loaded = DefinitionLoader.LoadText(definitions, "real.yaml");
        var monitor = new HealthMonitor(new DefinitionPlan(loaded.Definitions ?? throw new InvalidDataException(string.Join('\n', loaded.Diagnostics))), new MonitorOptions { KeepNumbers = true });
        foreach (var batch in Some.Batches(frames.OrderBy(frame => frame.Time)))
        {
            monitor.Accept(batch, Recording.Value.Buses);
        }

        return monitor.Report(isFinal: true);
    }

    /// <summary>The frame at another time, with another payload, or on another bus.</summary>
    public static Frame Copy(Frame frame, double milliseconds = 0, byte[]? data = null, int? bus = null)
    {
        var copy = default(Frame);
        copy.Set(frame.Time + FrameSpan.FromMilliseconds(milliseconds), (ushort)(bus ?? frame.Bus), frame.Id, frame.Kinds, data ?? frame.Data.ToArray());
        return copy;
    }

    /// <summary>A frame of 0x130 or 0x140 with bytes changed, its counter as given, and its checksum right again.</summary>
    public static Frame Protected(Frame frame, Action<byte[]> change, int? counter = null)
    {
        var data = frame.Data.ToArray();
        change(data);
        data[6] = (byte)((data[6] & 0xF0) | ((counter ?? data[6]) & 0x0F));
        data[7] = Crc(data.AsSpan(0, 7));
        return Copy(frame, data: data);
    }

    // CRC-8/SAE-J1850, bit by bit: polynomial 0x1D, start and final 0xFF.
    private static byte Crc(ReadOnlySpan<byte> data)
    {
        var crc = 0xFF;
        foreach (var value in data)
        {
            crc ^= value;
            for (var bit = 0; bit < 8; bit++)
            {
                crc = (crc & 0x80) != 0 ? ((crc << 1) ^ 0x1D) & 0xFF : crc << 1;
            }
        }

        return (byte)(crc ^ 0xFF);
    }

    private static bool Is(Frame frame, uint id, int bus) => frame.Id.Value == id && frame.Bus == bus;

    private static (IReadOnlyList<Bus> Buses, IReadOnlyList<Frame> Frames) Read()
    {
        using var source = CaptureFile.Open(RepoFiles.Shared("captures", "vehicle-two-buses-off-on-ready-off.csv"));
        var frames = ReadFrames.From(source, TestContext.Current.CancellationToken).Frames;
        var start = frames.Min(frame => frame.Time);
        var (from, until) = (start + FrameSpan.FromSeconds(From), start + FrameSpan.FromSeconds(Until));

        // By name of bus, whatever their order in the table.
        var numbers = source.Buses.Select(bus => (ushort)(bus.Name == "1" ? 1 : 0)).ToArray();
        return (
            [new Bus("0"), new Bus("1")],
            [
                .. frames.Where(frame => frame.Time >= from && frame.Time < until).OrderBy(frame => frame.Time)
                    .Select(frame => Copy(frame, -(from - new FrameTime(0)).Milliseconds, bus: numbers[frame.Bus])),
            ]);
    }
}
