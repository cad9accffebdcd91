using BenchmarkDotNet.Attributes;
using BusScope.Frames;
using BusScope.Signals.Definitions;
using BusScope.Signals.Plans;

namespace BusScope.Benchmarks.Plans;

/// <summary>A block of 256 frames with nine signals, a counter and a CRC: scanned at once, and read frame by frame.</summary>
[MemoryDiagnoser]
public class ScanBenchmarks
{
    private const int SignalCount = 9;

    private readonly MessageBlock block = new(8);
    private readonly MessagePlan plan = new(Definition());
    private readonly MessageTally tally = new(SignalCount);

    /// <summary>Fills the block with rightly protected frames.</summary>
    [GlobalSetup]
    public void Fill()
    {
        var random = new Random(1);
        var payload = new byte[8];
        var frame = default(Frame);
        for (var i = 0; i < MessageBlock.Capacity; i++)
        {
            payload[random.Next(6)] += (byte)random.Next(256);
            plan.Protect(i, payload);
            frame.Set(new FrameTime(i * 10_000_000L), 0, new CanId(0x100, false), FrameKinds.None, payload);
            block.Add(frame);
        }
    }

    /// <summary>One frame after the other, one signal after the other.</summary>
    [Benchmark(Baseline = true, OperationsPerInvoke = MessageBlock.Capacity * SignalCount)]
    public double Read()
    {
        var sum = 0.0;
        for (var row = 0; row < block.Count; row++)
        {
            var payload = block.Payload(row);
            _ = plan.ChecksumHolds(payload);
            _ = plan.Counter(payload);
            for (var signal = 0; signal < SignalCount; signal++)
            {
                sum += plan.Read(signal, payload).Value;
            }
        }

        return sum;
    }

    /// <summary>The block at once.</summary>
    [Benchmark(OperationsPerInvoke = MessageBlock.Capacity * SignalCount)]
    public long Scan()
    {
        plan.Scan(block, tally);
        return tally.Rows;
    }

    private static MessageDefinition Definition() => new()
    {
        Name = "M",
        Key = new MessageKey.Identifier(new CanId(0x100, false)),
        Length = 8,
        Counter = new CounterDefinition(new BitField(new BitPosition(6, 0), 4, ByteOrder.Little)),
        Checksum = new ChecksumDefinition(ChecksumFamily.Crc, new BitField(new BitPosition(7, 0), 8, ByteOrder.Little))
        {
            Crc = new CrcParameters(8, 0x1D, 0xFF, 0xFF, false),
            Over = [new ByteRange(0, 6)],
        },
        Signals =
        [
            .. Enumerable.Range(0, SignalCount).Select(i => new SignalDefinition
            {
                Name = $"S{i}",
                Field = new BitField(new BitPosition(i / 2, i % 3 == 0 ? 7 : 1), 3 + i, i % 3 == 0 ? ByteOrder.Big : ByteOrder.Little),
                Encoding = i % 4 == 0 ? SignalEncoding.Signed : SignalEncoding.Unsigned,
                Scale = 0.25,
                Offset = -40,
            }),
        ],
    };
}
