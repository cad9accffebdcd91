using BusScope.Frames;
using BusScope.Signals.Loading;
using BusScope.Signals.Plans;
using BusScope.TestKit;

namespace BusScope.Health.Tests.Checks;

/// <summary>A small invented car: what its definitions say, and ten seconds of healthy traffic to inject faults into.</summary>
internal sealed class Car
{
    public const string Definitions = """
        busscope: 1
        defaults: { order: big }
        buses:
          chassis: { bitrate: 500 kbit/s }
          cabin: { bitrate: 125 kbit/s }
        modules:
          engine: {}
          cluster: { alive: ClusterStatus }
          transmission: {}
        messages:
          Engine:
            id: 0x0C8
            bus: chassis
            from: engine
            needed-by: [cluster, transmission]
            length: 8
            every: 10 ms
            stale-after: 100 ms
            counter: { byte: 6, bits: 0..3 }
            checksum: { byte: 7, algorithm: crc8-sae-j1850, over: 0..6 }
            signals:
              Speed: { bytes: 0..1, scale: 0.25, unit: rpm, range: 0..9000, not-available: 0xFFFF, error: 0xFFFE, lives: true, max-rate: 100000 }
              Coolant: { byte: 2, offset: -40, unit: degC }
          Gear:
            id: 0x1A0
            bus: chassis
            needed-by: [cluster]
            length: 2
            every: 20 ms
            stale-after: 200 ms
          Key:
            id: 0x100
            bus: cabin
            length: 1
            every: 100 ms
            stale-after: 500 ms
            signals:
              Position: { byte: 0, bits: 0..3 }
          Fan:
            id: 0x210
            bus: chassis
            needed-by: [cluster]
            length: 1
            every: 50 ms
            stale-after: 300 ms
            while: Position >= 2
          ClusterStatus:
            id: 0x320
            bus: cabin
            from: cluster
            length: 2
            every: 100 ms
            stale-after: 500 ms
          Radio:
            id: 0x400
            bus: cabin
            length: 4
            every: 100 ms
            stale-after: 500 ms
        """;

    private const uint EngineId = 0x0C8;
    private readonly List<Frame> frames = [];

    private Car()
    {
    }

    public static Bus[] Buses { get; } = [new("chassis"), new("cabin")];

    public IReadOnlyList<Frame> Frames => frames;

    /// <summary>Healthy traffic.</summary>
    public static Car Healthy(double seconds = 10)
    {
        var car = new Car();
        car.Engine(0, seconds * 1000);
        car.Every(20, 0x1A0, 0, _ => "0300", seconds);
        car.Every(50, 0x210, 0, _ => "55", seconds);
        car.Every(100, 0x100, 1, _ => "02", seconds);
        car.Every(100, 0x320, 1, _ => "0101", seconds);
        car.Every(100, 0x400, 1, _ => "00000000", seconds);
        return car;
    }

    /// <summary>Engine frames with counter and checksum.</summary>
    public Car Engine(double from, double until, double every = 10, int counter = 0, double offset = 0.3)
    {
        for (var i = 0; from + (i * every) < until; i++)
        {
            // 1000 rpm and a slow ramp, 90 °C.
            frames.Add(EngineFrame(from + offset + (i * every), 4000 + (i % 500), counter + i));
        }

        return this;
    }

    /// <summary>One engine frame.</summary>
    public static Frame EngineFrame(double milliseconds, int rawSpeed, int counter)
    {
        byte[] data = [(byte)(rawSpeed >> 8), (byte)rawSpeed, 130, 0, 0, 0, (byte)(counter & 15), 0];
        data[7] = Crc(data.AsSpan(0, 7));
        return Some.Frame(EngineId, Convert.ToHexString(data), milliseconds);
    }

    /// <summary>Takes frames away.</summary>
    public Car Without(Func<Frame, double, bool> which)
    {
        frames.RemoveAll(frame => which(frame, frame.Time.Seconds));
        return this;
    }

    /// <summary>Takes a message away.</summary>
    public Car Without(uint id, double from = 0, double until = double.MaxValue) =>
        Without((frame, at) => frame.Id.Value == id && at >= from && at < until);

    /// <summary>Changes frames of a message: given the frame, its number and its time in seconds.</summary>
    public Car Change(uint id, Func<Frame, int, double, Frame> change)
    {
        var number = 0;
        for (var i = 0; i < frames.Count; i++)
        {
            if (frames[i].Id.Value == id)
            {
                frames[i] = change(frames[i], number++, frames[i].Time.Seconds);
            }
        }

        return this;
    }

    /// <summary>Adds a frame.</summary>
    public Car Add(Frame frame)
    {
        frames.Add(frame);
        return this;
    }

    /// <summary>Adds a periodic message.</summary>
    public Car Every(double milliseconds, uint id, ushort bus, Func<int, string> payload, double seconds = 10, double offset = 0)
    {
        for (var i = 0; i * milliseconds < seconds * 1000; i++)
        {
            frames.Add(Some.Frame(id, payload(i), offset + (i * milliseconds), bus));
        }

        return this;
    }

    /// <summary>What a check says.</summary>
    public HealthReport Check(string definitions = Definitions, string? interruption = null, Bus[]? buses = null)
    {
        var monitor = Monitor(definitions);
        foreach (var batch in Some.Batches(frames.OrderBy(frame => frame.Time)))
        {
            monitor.Accept(batch, buses ?? Buses);
        }

        monitor.Interruption = interruption;
        return monitor.Report(isFinal: true);
    }

    /// <summary>A monitor of these definitions.</summary>
    public static HealthMonitor Monitor(string definitions = Definitions)
    {
        var loaded = DefinitionLoader.LoadText(definitions, "car.yaml");
        return new HealthMonitor(new DefinitionPlan(loaded.Definitions ?? throw new InvalidDataException(string.Join('\n', loaded.Diagnostics))), new MonitorOptions());
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
}
