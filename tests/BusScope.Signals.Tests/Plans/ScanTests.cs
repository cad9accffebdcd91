using System.Text;
using BusScope.Frames;
using BusScope.Signals.Definitions;
using BusScope.Signals.Plans;
using BusScope.TestKit;
using CsCheck;
using Xunit;

namespace BusScope.Signals.Tests.Plans;

public class ScanTests
{
    private static readonly Gen<RawRange> anyRange =
        from a in Gen.ULong[0, 300]
        from b in Gen.ULong[0, 300]
        select new RawRange(Math.Min(a, b), Math.Max(a, b));

    private static readonly Gen<SignalDefinition> anySignal =
        from length in Gen.Int[1, 64]
        from order in Gen.Enum<ByteOrder>()
        from bytes in OneOf(8, 8, 12, 64)
        from along in Gen.Int[0, Math.Max(0, (bytes * 8) - length)]
        from encoding in OneOf(SignalEncoding.Unsigned, SignalEncoding.Unsigned, SignalEncoding.Signed, SignalEncoding.PackedDecimal)
        from scale in OneOf(1.0, 0.1, -0.5, 0.001)
        from offset in OneOf(0.0, -40)
        from notAvailable in anyRange.Array[0, 2]
        from error in anyRange.Array[0, 1]
        from minimum in OneOf<double?>(null, null, 0, -10)
        from maximum in OneOf<double?>(null, null, 20, 100)
        from rate in OneOf<double?>(null, null, null, 50)
        from selected in Gen.Int[0, 5]
        select new SignalDefinition
        {
            Name = "S",
            Field = new BitField(new BitPosition(along / 8, order == ByteOrder.Big ? 7 - (along % 8) : along % 8), length, order),
            Encoding = encoding,
            Scale = scale,
            Offset = offset,
            NotAvailable = notAvailable,
            Error = error,
            Minimum = minimum,
            Maximum = maximum,
            LargestRate = rate,
            When = selected == 0 ? [new SelectorCondition("Selector", [new RawRange(0, 1)])] : [],
        };

    private static readonly Gen<(MessageDefinition Message, Frame[] Frames, int Stride)> anyScan =
        from signals in anySignal.Array[1, 6]
        from counter in OneOf<CounterDefinition?>(null, new CounterDefinition(Define.Little(6, 0, 4)), new CounterDefinition(Define.Big(6, 7, 4)) { Step = -1, Modulo = 15 }, new CounterDefinition(Define.Little(5, 3, 5)) { Step = 3 }, new CounterDefinition(Define.Little(5, 4, 8)) { Step = 255 })
        from checksum in OneOf<ChecksumDefinition?>(null, Crc(8), Crc(16), Xor())
        from isLong in Gen.Bool
        from count in Gen.Int[1, 600]
        from seed in Gen.Int
        select (
            Define.Message([.. signals.Select((signal, i) => signal with { Name = $"S{i}" }), Define.Signal(Define.Little(0, 0, 2), "Selector")]) with { Counter = counter, Checksum = checksum },
            Frames(seed, count, isLong ? 64 : 8),
            isLong ? 64 : 8);

    [Fact]
    public void A_block_scanned_is_the_sum_of_its_frames_read_one_by_one() => anyScan.Sample((message, frames, stride) =>
    {
        var plan = new MessagePlan(message);
        foreach (ref var frame in frames.AsSpan())
        {
            // Most frames are protected rightly, or the loops for the usual case would never run through.
            if (frame.Length == stride && frame.Time.Nanoseconds % 50 != 0)
            {
                var payload = frame.Data.ToArray();
                plan.Protect(frame.Time.Nanoseconds, payload);
                frame.Set(frame.Time, 0, frame.Id, FrameKinds.None, payload);
            }
        }

        var tally = new MessageTally(plan.Signals.Count);
        var block = new MessageBlock(stride);
        foreach (ref readonly var frame in frames.AsSpan())
        {
            block.Add(frame);
            if (block.IsFull)
            {
                plan.Scan(block, tally);
                block.Clear();
            }
        }

        plan.Scan(block, tally);

        Assert.Equal(Model(plan, frames), Text(tally));
    }, iter: 400);

    [Fact]
    public void The_range_of_rows_is_that_of_their_readings_all_of_which_are_valid()
    {
        var found = 0;
        Gen.Select(anyScan, Gen.Double[0, 1], Gen.Double[0, 1]).Sample(
            (scan, begin, length) =>
            {
                var plan = new MessagePlan(scan.Message);
                var block = new MessageBlock(scan.Stride);
                foreach (var frame in scan.Frames.Take(MessageBlock.Capacity))
                {
                    block.Add(frame);
                }

                var from = (int)(begin * (block.Count - 1));
                var to = from + 1 + (int)(length * (block.Count - from - 1));
                var ranges = new ValueRange[plan.Signals.Count];
                plan.Ranges(block, from, to, ranges);

                for (var i = 0; i < ranges.Length; i++)
                {
                    var readings = Enumerable.Range(from, to - from).Select(row => plan.Read(i, block.Payload(row))).ToList();
                    if (ranges[i].HasValue)
                    {
                        Interlocked.Increment(ref found);
                        Assert.All(readings, reading => Assert.Equal(SampleQuality.Ok, reading.Quality));
                        Assert.Equal(new ValueRange(readings.Min(each => each.Value), readings.Max(each => each.Value)), ranges[i]);
                    }
                }
            },
            iter: 400);
        Assert.InRange(found, 200, int.MaxValue);
    }

    [Fact]
    public void Reading_and_scanning_allocate_nothing()
    {
        var plan = new MessagePlan(Define.Message(
            Define.Signal(Define.Little(0, 3, 12), "A") with { Minimum = 0, Maximum = 10 },
            Define.Signal(Define.Big(1, 6, 62), "B"),
            Define.Signal(Define.Byte(2), "C") with { When = [new SelectorCondition("A", [new RawRange(0, 1000)])] },
            Define.Signal(Define.Little(0, 0, 32), "F") with { Encoding = SignalEncoding.Float }) with
        {
            Counter = new CounterDefinition(Define.Little(6, 0, 4)),
            Checksum = Crc(8),
        });
        var tally = new MessageTally(4);
        var block = new MessageBlock(8);
        foreach (var frame in Frames(1, MessageBlock.Capacity, 8))
        {
            block.Add(frame);
        }

        Assert.Equal(0, Allocation.Of(() =>
        {
            for (var i = 0; i < 100; i++)
            {
                plan.Scan(block, tally);
                for (var signal = 0; signal < 4; signal++)
                {
                    _ = plan.Read(signal, block.Payload(i % block.Count));
                }
            }
        }));
    }

    private static Gen<T> OneOf<T>(params T[] values) => Gen.Int[0, values.Length - 1].Select(i => values[i]);

    private static ChecksumDefinition Crc(int width) =>
        new(ChecksumFamily.Crc, width == 8 ? Define.Byte(7) : Define.Little(4, 0, 16))
        {
            Crc = width == 8 ? new CrcParameters(8, 0x1D, 0xFF, 0xFF, false) : new CrcParameters(16, 0x1021, 0xFFFF, 0, true),
            Over = [new ByteRange(0, 6)],
            DataIds = width == 8 ? [] : [0x5A],
        };

    private static ChecksumDefinition Xor() => new(ChecksumFamily.NibbleXor, Define.Big(7, 7, 4)) { Over = [new ByteRange(0, 7)], Final = 3 };

    // Payloads that stay, move a little, or jump, so that constant blocks, valid blocks and mixed ones all come.
    private static Frame[] Frames(int seed, int count, int stride)
    {
        var random = new Random(seed);
        var payload = new byte[stride];
        var frames = new Frame[count];
        var liveliness = random.Next(4);
        for (var i = 0; i < count; i++)
        {
            if (liveliness == 3)
            {
                random.NextBytes(payload);
            }
            else if (random.Next(3) < liveliness)
            {
                payload[random.Next(stride)] = (byte)random.Next(liveliness * 40);
            }

            var length = random.Next(40) == 0 && liveliness > 1 ? random.Next(stride) : stride;
            frames[i].Set(new FrameTime((i * 10_000_000L) + i), 0, new CanId(0x100, false), FrameKinds.None, payload.AsSpan(0, length));
        }

        return frames;
    }

    private static string Model(MessagePlan plan, Frame[] frames)
    {
        var lines = new StringBuilder();
        var values = new List<(int Value, Frame Frame)>();
        var wrong = new List<Frame>();
        foreach (var frame in frames)
        {
            if (plan.Counter(frame.Data) is { } value)
            {
                values.Add((value, frame));
            }

            if (plan.ChecksumHolds(frame.Data) == false)
            {
                wrong.Add(frame);
            }
        }

        var counter = plan.Definition.Counter;
        bool Follows(int i, int back) => values[i - back].Value < counter!.Modulo && values[i].Value == (values[i - back].Value + counter.Step + counter.Modulo) % counter.Modulo;
        var faults = Enumerable.Range(1, Math.Max(0, values.Count - 1)).Where(i => !Follows(i, 1)).ToList();
        var repeated = faults.Where(i => values[i].Value == values[i - 1].Value).ToList();
        var skipped = faults.Except(repeated).ToList();
        lines.AppendLine($"{frames.Length} rows, repeated {Text(repeated.Select(i => values[i].Frame))}, skipped {Text(skipped.Select(i => values[i].Frame))}, second {skipped.Count(i => i > 1 && Follows(i, 2))}, checksum {Text(wrong)}");
        for (var s = 0; s < plan.Signals.Count; s++)
        {
            var readings = frames.Select(frame => (Frame: frame, Sample: plan.Read(s, frame.Data))).Where(reading => reading.Sample.Quality != SampleQuality.Absent).ToList();
            if (plan.Signals[s].Definition.LargestRate is { } rate)
            {
                var judged = readings.Where(reading => reading.Sample.Quality == SampleQuality.Ok).ToList();
                var tooFast = Enumerable.Range(1, Math.Max(0, judged.Count - 1))
                    .Where(i => Math.Abs(judged[i].Sample.Value - judged[i - 1].Sample.Value) > rate * (judged[i].Frame.Time - judged[i - 1].Frame.Time).Seconds)
                    .Select(i => judged[i].Frame.Time).ToHashSet();
                readings = [.. readings.Select(reading => tooFast.Contains(reading.Frame.Time) ? reading with { Sample = reading.Sample with { Quality = SampleQuality.Implausible } } : reading)];
            }

            IEnumerable<Frame> Of(SampleQuality quality) => readings.Where(reading => reading.Sample.Quality == quality).Select(reading => reading.Frame);
            var valid = readings.Where(reading => reading.Sample.Quality == SampleQuality.Ok).Select(reading => reading.Sample.Value).ToList();
            var changed = readings.Select(reading => reading.Sample.Raw).Distinct().Count() > 1;
            lines.AppendLine($"{valid.Count} valid {(valid.Count == 0 ? double.NaN : valid.Min())} to {(valid.Count == 0 ? double.NaN : valid.Max())}, changed {changed}, range {Text(Of(SampleQuality.OutOfRange))}, na {Text(Of(SampleQuality.NotAvailable))}, error {Text(Of(SampleQuality.Error))}, fast {Text(Of(SampleQuality.Implausible))}");
        }

        return lines.ToString();
    }

    private static string Text(MessageTally tally)
    {
        var lines = new StringBuilder();
        lines.AppendLine($"{tally.Rows} rows, repeated {Text(tally.CounterRepeated)}, skipped {Text(tally.CounterSkipped)}, second {tally.CounterFollowsSecondLast}, checksum {Text(tally.ChecksumBad)}");
        foreach (var signal in tally.Signals)
        {
            lines.AppendLine($"{signal.Valid} valid {signal.Minimum} to {signal.Maximum}, changed {signal.EverChanged}, range {Text(signal.OutOfRange)}, na {Text(signal.NotAvailable)}, error {Text(signal.Error)}, fast {Text(signal.Implausible)}");
        }

        return lines.ToString();
    }

    private static string Text(IEnumerable<Frame> frames)
    {
        var times = frames.Select(frame => frame.Time).ToList();
        return times.Count == 0 ? "never" : $"{times.Count} from {times[0]} to {times[^1]}";
    }

    private static string Text(Occurrences occurrences) => occurrences.Count == 0 ? "never" : $"{occurrences.Count} from {occurrences.First} to {occurrences.Last}";
}
